"""Lets tests in every folder import the helper modules that lie beside this file."""
