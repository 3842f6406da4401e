"""Programmes shipped with the package, as TOML texts a trainer can edit."""
