"""The workroom: job file, pictures, pages, commands. The only room that knows both meshes and finishes."""
