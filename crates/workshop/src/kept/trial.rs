//! The stored form of readings kept as a trial, schema 1.

use metrology::message::Message;

use super::job::Job;
use super::kept;
use crate::trial as now;

/// The schema number of trials.
pub const TRIAL: u32 = 1;

kept! { Trial of now::Trial { barred: Vec<Message>, job: Job } }
