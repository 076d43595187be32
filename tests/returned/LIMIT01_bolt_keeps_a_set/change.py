"""A rod bolt is longer after release than its limit allows."""

entries = {"bolt_released_length_3a": 58.434}
