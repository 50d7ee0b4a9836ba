"""What the commands and the API give: one function a question, plain JSON values out. No HTTP, no files."""
