//! The stored form of a validation, schema 1.

use super::kept;
use crate::document::validated as now;

/// The schema number of validations.
pub const VALIDATION: u32 = 1;

kept! { Validated of now::Validated {
    program: String,
    method: u32,
    tables_sha256: String,
    cases: u64,
    disagreeing: u64,
    worst: Option<ValidatedCase>,
    sets: Vec<ValidatedSet>,
} }

kept! { ValidatedSet of now::ValidatedSet {
    set: String,
    sources: Vec<String>,
    cases: u64,
    disagreeing: u64,
    worst: Option<ValidatedCase>,
    disagreements: Vec<ValidatedCase>,
} }

kept! { ValidatedCase of now::ValidatedCase {
    case: String,
    published: Option<f64>,
    found: Option<f64>,
    published_verdict: Option<String>,
    found_verdict: Option<String>,
    difference: Option<f64>,
    allowed: f64,
} }
