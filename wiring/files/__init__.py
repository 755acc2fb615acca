"""Files in and out: jobs, catalog entries, quantities.

Owns every format and every message about a file. pydantic, pint and tomlkit
live here only. Must not know what a circuit does or what a rule wants.
"""

from wiring.files.catalog import catalog_root, load_catalog, load_entry
from wiring.files.job import load_job, read_job
from wiring.files.problems import InputError

__all__ = ["InputError", "catalog_root", "load_catalog", "load_entry", "load_job", "read_job"]
