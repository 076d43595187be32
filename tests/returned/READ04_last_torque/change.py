"""The last torque of the main caps was set by a wrench that shows foot pounds."""

entries = {
    "joint_torque_at_1_first": 30.0, "joint_torque_at_1_second": 46.0,
    "joint_torque_at_2_first": 30.0, "joint_torque_at_2_second": 58.0,
}
