"""Files in and out: jobs, catalog entries, quantities.

Owns every format and every message about a file. pydantic, pint and tomlkit
live here only. Must not know what a circuit does or what a rule wants.
"""

from wiring.files.catalog import catalog_root, load_catalog, load_entry
from wiring.files.edits import AddEntry, Edit, EditError, RemoveEntry, SetKey
from wiring.files.job import load_job, read_job
from wiring.files.problems import InputError
from wiring.files.quantity import QuantityError, parse, show
from wiring.files.schema import schema
from wiring.files.wiresize import parse_size
from wiring.files.write import atomic_write, edit_job, rewrite_job, save_job

__all__ = [
    "AddEntry",
    "Edit",
    "EditError",
    "InputError",
    "QuantityError",
    "RemoveEntry",
    "SetKey",
    "atomic_write",
    "catalog_root",
    "edit_job",
    "load_catalog",
    "load_entry",
    "load_job",
    "parse",
    "parse_size",
    "read_job",
    "rewrite_job",
    "save_job",
    "schema",
    "show",
]
