//! How likely one meets a thread at a bench, before anything is measured.
//!
//! A shop says once which kind it is, or has its own records counted; as long as nobody has said, nothing
//! is claimed that one of the kinds does not bear out.

use super::candidate::Candidate;
use super::weights::Shop;
use crate::designation::Form;

/// What is taken to be known of an unknown thread before it is measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Prior {
    /// Nobody has said which shop: each probability is the least that any shop gives.
    Unstated,
    /// The shop is of this kind.
    Shop(Shop),
    /// How many threads of each form the shop has recorded.
    Records(Vec<(Form, u64)>),
}

impl Prior {
    /// The probability of each candidate, once for each prior that is to be satisfied.
    pub(super) fn shares(&self, candidates: &[Candidate]) -> Vec<Vec<f64>> {
        match self {
            Self::Unstated => (Shop::EVERY.iter())
                .map(|shop| of_shop(*shop, candidates))
                .collect(),
            Self::Shop(shop) => vec![of_shop(*shop, candidates)],
            Self::Records(counts) => vec![of_records(counts, candidates)],
        }
    }
}

fn of_shop(shop: Shop, candidates: &[Candidate]) -> Vec<f64> {
    let total: f64 = candidates.iter().map(|one| one.weights.of(shop)).sum();
    (candidates.iter())
        .map(|one| one.weights.of(shop) / total)
        .collect()
}

/// Each form by its records and one more (Laplace's rule of succession), its sizes as in a mixed shop.
fn of_records(counts: &[(Form, u64)], candidates: &[Candidate]) -> Vec<f64> {
    let recorded = |form: Form| {
        let of_form = counts.iter().filter(|(counted, _)| *counted == form);
        of_form.map(|(_, count)| *count).sum::<u64>()
    };
    let mut forms: Vec<Form> = candidates.iter().map(|one| one.form).collect();
    forms.sort_unstable();
    forms.dedup();
    #[expect(clippy::cast_precision_loss, reason = "nobody records 2^53 threads")]
    let share_of = |form| (recorded(form) + 1) as f64;
    let of_all: f64 = forms.iter().map(|form| share_of(*form)).sum();
    let of_form: Vec<(Form, f64, f64)> = forms
        .iter()
        .map(|form| {
            let sizes = candidates.iter().filter(|one| one.form == *form);
            let weights: f64 = sizes.map(|one| one.weights.of(Shop::Mixed)).sum();
            (*form, share_of(*form) / of_all, weights)
        })
        .collect();
    (candidates.iter())
        .map(|one| {
            (of_form.iter().find(|(form, _, _)| *form == one.form))
                .map_or(0.0, |(_, share, weights)| {
                    share * one.weights.of(Shop::Mixed) / weights
                })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::designation::Kind;
    use crate::identify::candidates;

    #[test]
    fn every_prior_shares_out_all_of_it() {
        let all = candidates(Kind::External);
        let records = Prior::Records(vec![(Form::IsoMetric, 40), (Form::Unj, 3)]);
        for prior in [Prior::Unstated, Prior::Shop(Shop::British), records] {
            for shares in prior.shares(all) {
                assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
                assert!(shares.iter().all(|share| *share > 0.0));
            }
        }
    }

    /// 40 metric records and one more, of 49 with one of each of the nine forms that are candidates.
    #[test]
    fn records_are_counted() {
        let all = candidates(Kind::External);
        let shares = Prior::Records(vec![(Form::IsoMetric, 40)]).shares(all);
        let metric: f64 = (all.iter().zip(&shares[0]))
            .filter(|(one, _)| one.form == Form::IsoMetric)
            .map(|(_, share)| share)
            .sum();
        assert!((metric - 41.0 / 49.0).abs() < 1e-9, "{metric}");
    }
}
