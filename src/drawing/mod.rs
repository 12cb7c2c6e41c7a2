//! Neutral marks to pictures: the profile sheet and the plan.
