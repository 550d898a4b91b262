//! What the simulated bench found, as text and as Markdown.

use std::fmt::Write as _;

use crate::document::{Count, Held, Simulated};

/// What a rule promises: of a size at the limit accepted, of one rejected; `-` where it promises nothing.
fn promise(rule: &str) -> (&'static str, &'static str) {
    match rule {
        "iso14253-1" | "probability" => ("5", "5"),
        "guard-band-four" => ("2.5", "2.5"),
        "guard-band" | "stringent" => ("2.5", "-"),
        "relaxed" => ("-", "2.5"),
        "simple" => ("50", "50"),
        // Its promise is about all jobs of a process.
        _ => ("-", "-"),
    }
}

fn percent(share: Count) -> String {
    format!("{:.2}", share.share * 100.0)
}

/// Rows of the coverage table: name, of what, intervals, coverage, bias, towards the limit, spread, mean u, and how often
/// ISO 14253-1 is deceived at the limit.
fn coverage_rows(document: &Simulated) -> Vec<[String; 9]> {
    let row = |name: &str, of: &str, found: Held, proven: String| {
        [
            name.to_owned(),
            of.to_owned(),
            found.intervals.to_string(),
            format!("{:.2}", found.coverage * 100.0),
            format!("{:+.2}", found.bias),
            format!("{:+.2}", found.towards_limit),
            format!("{:.2}", found.spread),
            format!("{:.2}", found.standard_uncertainty * 1000.0),
            proven,
        ]
    };
    document
        .set_ups
        .iter()
        .chain([&document.all])
        .flat_map(|set_up| {
            [
                row(
                    set_up.name,
                    "mean",
                    set_up.mean,
                    percent(set_up.proven_at_limit),
                ),
                row(
                    set_up.name,
                    "worst place",
                    set_up.worst_place,
                    String::new(),
                ),
            ]
        })
        .collect()
}

/// Rows of the table of rules: name, promise and what was found.
fn rule_rows(document: &Simulated) -> Vec<[String; 10]> {
    document
        .rules
        .iter()
        .map(|rule| {
            let (accepts, rejects) = promise(rule.rule);
            [
                rule.rule.to_owned(),
                accepts.to_owned(),
                percent(rule.mean_accepted_at_limit),
                percent(rule.all_accepted_at_limit),
                rejects.to_owned(),
                percent(rule.mean_rejected_at_limit),
                percent(rule.all_rejected_at_limit),
                percent(rule.false_acceptance),
                percent(rule.false_rejection),
                percent(rule.undecided),
            ]
        })
        .collect()
}

const COVERAGE_HEAD: [&str; 9] = [
    "set-up",
    "of",
    "intervals",
    "held, %",
    "bias/u",
    "to limit/u",
    "spread/u",
    "u, µm",
    "proven, %",
];
const RULE_HEAD: [&str; 10] = [
    "rule",
    "accepts at most",
    "mean",
    "all",
    "rejects at most",
    "mean",
    "any",
    "false accept",
    "false reject",
    "undecided",
];

/// For a terminal.
pub fn text(document: &Simulated) -> String {
    let mut out = format!(
        "{} simulated jobs, seed {}\n\n",
        document.jobs, document.seed
    );
    out.push_str("Intervals of 95 %: how often they held the true size\n");
    let _ = writeln!(
        out,
        "  {:<37} {:<11} {:>7} {:>7} {:>7}",
        "", "", "held, %", "spread", "u, µm"
    );
    for [name, of, _, held, _, _, spread, u, _] in coverage_rows(document) {
        let _ = writeln!(out, "  {name:<37} {of:<11} {held:>7} {spread:>7} {u:>7}");
    }
    out.push_str("\nA size the least bit outside a limit: accepted, rejected (%)\n");
    let _ = writeln!(
        out,
        "  {:<16} {:>9} {:>7} {:>7} {:>10} {:>7} {:>7}",
        "", "promised", "mean", "all", "promised", "mean", "any"
    );
    for [rule, accepts, mean, all, rejects, mean_out, any_out, ..] in rule_rows(document) {
        let _ = writeln!(
            out,
            "  {rule:<16} {accepts:>9} {mean:>7} {all:>7} {rejects:>10} {mean_out:>7} {any_out:>7}"
        );
    }
    out.push_str("\nA normal process, standard deviation T/4: of all jobs (%)\n");
    let _ = writeln!(
        out,
        "  {:<16} {:>13} {:>13} {:>10}",
        "", "false accept", "false reject", "undecided"
    );
    for [rule, .., accept, reject, undecided] in rule_rows(document) {
        let _ = writeln!(
            out,
            "  {rule:<16} {accept:>13} {reject:>13} {undecided:>10}"
        );
    }
    if document.slips.of > 0 {
        let _ = writeln!(
            out,
            "\n{} of {} slips of the hand were flagged; {} of {} good readings were.",
            document.slips.times,
            document.slips.of,
            document.false_flags.times,
            document.false_flags.of
        );
    }
    out
}

/// The tables of the documentation.
pub fn markdown(document: &Simulated) -> String {
    let mut out = format!(
        "{} jobs, seed {}.\n\n## Intervals\n\n",
        document.jobs, document.seed
    );
    table(&mut out, COVERAGE_HEAD, 2, &coverage_rows(document));
    out.push_str("\n## Rules\n\n");
    table(&mut out, RULE_HEAD, 1, &rule_rows(document));
    out
}

/// A Markdown table; the columns after the first `words` are numbers.
fn table<const N: usize>(out: &mut String, head: [&str; N], words: usize, rows: &[[String; N]]) {
    let _ = writeln!(out, "| {} |", head.join(" | "));
    let marks: Vec<&str> = (0..N)
        .map(|column| if column < words { "---" } else { "---:" })
        .collect();
    let _ = writeln!(out, "|{}|", marks.join("|"));
    for row in rows {
        let _ = writeln!(out, "| {} |", row.join(" | "));
    }
}
