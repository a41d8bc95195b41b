//! How lines combine: [`inversion`] holds the tables of invertible counterpoint.

pub mod inversion;
