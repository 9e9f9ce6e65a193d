#!/usr/bin/python3
"""Prints triangles and volume as a manifest states them. usage: stated.py MANIFEST"""
import json
import sys

with open(sys.argv[1]) as f:
    mesh = json.load(f)["tool_mesh"]
print(mesh["triangles"], repr(mesh["volume_mm3"]))
