//! The bench page over HTTP, as a browser without script sees it, and its door against strangers.

#[cfg(unix)]
mod beside;
mod books;
mod certificates;
mod door;
mod equipment_list;
pub mod feature_jobs;
mod features;
mod gauge_room;
mod gauges;
pub mod job;
mod lots;
mod pair_check;
mod paper;
mod plans;
mod records;
mod register;
mod room;
mod safety;
mod scanned;
mod serial;
mod stations;
mod studies;
mod study_files;
pub mod support;
mod thermometer;
mod told;
mod trial;
mod wrong_fields;
