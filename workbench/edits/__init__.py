"""Every change to a project as a value: apply(project, edit) gives the new project and a way back."""
