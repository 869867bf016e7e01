//! Checks against the multi-precision generators beside this file.
mod line;
