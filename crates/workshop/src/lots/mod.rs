//! Plans and lots on the record: a plan is kept, a lot is begun under it and stays with it, and what was found of its pieces
//! adds up to its matrix and its verdict.

mod alike;
mod as_begun;
mod as_recorded;
mod assigned;
mod begin;
mod cell;
mod decisions;
mod doubts;
mod first_articles;
#[cfg(test)]
mod found_before;
mod gauge_doubts;
mod gauged;
mod interval;
mod known;
mod lot_remark;
mod matrix;
mod meant;
mod nonconforming;
mod not_counted;
mod order;
mod reader;
mod recorded;
mod remarks;
mod settle;
mod switching;

pub use alike::begun_almost_as;
pub use as_begun::{LotTakes, OtherPlan, PlanPart};
pub use begin::{Begin, begin, keep_plan, run_of};
pub use cell::{Cell, Gauged};
pub use decisions::Decided;
pub use first_articles::{
    FirstArticleError, FirstArticleIssued, baseline_shows, first_article, first_article_by_number,
    first_article_differs, first_articles, issue_first_article, lot_of_first_article,
    set_aside_then,
};
pub use gauged::GaugeFinding;
pub use interval::{Interval, interval, pieces_between_checks};
pub use known::{Lot, LotsError, PlanKept, find, listed, nearest, plan_named, plans};
pub use lot_remark::{LotRemark, Remarked};
pub use matrix::{
    AfterWork, Matrix, OpenRun, Row, limits_of, matrix, matrix_by_facts, open_runs, tell_room,
};
pub use nonconforming::{
    Dispose, Nonconforming, NonconformingError, all_nonconforming, dispose, nonconforming,
};
pub use not_counted::{NotCounted, OffPlan, WhyNot};
pub use order::{Order as OrderOfWork, Stage, order};
pub use reader::LotsRead;
pub use recorded::Numbers;
pub use settle::{Words, barred_gauge, drafts, made_before};
pub use switching::{Switching, switching};
