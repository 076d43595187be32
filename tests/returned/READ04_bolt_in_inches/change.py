"""One rod bolt was read with an inch micrometer."""

entries = {"bolt_tight_length_2a": 2.3054}
