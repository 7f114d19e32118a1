"""Speed, against general-purpose code for the same job."""
