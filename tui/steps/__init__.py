"""The eleven steps of the work, one file each; `tui.steps.order` lists them."""
