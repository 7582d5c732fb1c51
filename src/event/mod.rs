//! What to bring to an event: how many letters and blanks, for a wanted chance that nobody is
//! turned away.
//!
//! Owns the guess of what customers will ask for: how many garments, which names and numbers,
//! which sizes; the exact chances for each piece by itself, and the simulation of whole days for
//! all pieces together. Chances are whole numbers in parts of [`chance::ONE`], never binary
//! fractions, so every device says the same.

pub mod asked;
pub mod bring;
pub mod chance;
pub mod dice;
pub mod names;
