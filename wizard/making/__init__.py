"""What the bench needs of an answer, worked out when the job is kept: layout, inspection, fitting, buying."""
