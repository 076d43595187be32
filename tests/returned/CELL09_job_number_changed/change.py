"""Another job number was typed."""

entries = {"job_number": "J-1043"}
