//! Properties of decisions.
