//! interchange
