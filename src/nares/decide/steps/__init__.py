"""Programmes: ordered steps, their criteria, every fault of an edited one, and the shipped one."""
