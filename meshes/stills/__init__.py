"""Stills: cameras and rasters. Only ``gl.py`` imports pyrender or OpenGL."""
