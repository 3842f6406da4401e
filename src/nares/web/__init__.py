"""Ring 4: the pages a trainer sees in the browser. Reads and writes only through `nares.app`."""
