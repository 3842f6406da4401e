"""The workbench of a professional detection-dog trainer."""

__version__ = "0.1.0"
