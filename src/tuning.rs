//! Tuning: just ratios, cents and frequencies. The only home of floating point.
