"""Every change to a project as a value: apply(project, edit) gives a new project and the inverse edit."""
