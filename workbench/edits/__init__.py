"""Every change to a project as a value: apply(project, edit) gives the new one and a way back."""
