//! Joints, pieces, the laying list and the shopping list.
