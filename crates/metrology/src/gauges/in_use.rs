//! A gauge in use: whether it is worn, and what it means where it disagrees with a measured pitch diameter.
//!
//! A GO gauge feels the functional size: the pitch diameter with what errors of lead and flank angles add to it
//! ([`functional`](crate::functional)). A NOT GO gauge feels the pitch diameter where it enters. So both a gauge and a
//! micrometer can be right. What explains a difference is told as numbers, from the certified size of the gauge.

use super::{Gauge, GaugeName, gauges};
use crate::designation::Kind;
use crate::functional::{AngleTerm, FlankInMesh, FormErrors, functional_difference};
use crate::limits::{Limits, ThreadLimits};
use crate::thread::Form;
use crate::units::{Angle, Length};
use crate::wires::Side;

/// A GO or NOT GO screw gauge with its certified pitch diameter.
#[derive(Clone, Debug, PartialEq)]
pub struct CertifiedGauge {
    pub is_go: bool,
    pub size: Length,
    pub expanded_uncertainty: Length,
    /// As its certificate or the laboratory states it.
    pub wear_limit: Option<Length>,
    thread: ThreadLimits,
    /// As its standard has it made; none where no standard is held for the thread.
    made: Option<Gauge>,
}

crate::codes! {
    /// Where the wear limit of a gauge comes from.
    pub enum WearLimit "wear-limit" {
        /// Stated with the gauge.
        Stated "stated",
        /// That of its standard.
        Standard "standard",
        /// None is stated and its standard has none: the limit of the thread.
        Thread "thread",
    }
}

crate::codes! {
    /// What a gauge is past where it accepts parts beyond the limit that it is to check.
    pub enum GaugeLimit "gauge-limit" {
        /// The tolerance of a new gauge by its standard.
        NewGauge "new-gauge",
        /// No gauge standard is held for the thread: its own limit.
        Thread "thread",
        /// The drawing has another limit than the standard of the thread, or another one holds before or after coating.
        Drawing "drawing",
    }
}

/// A gauge that accepts parts beyond the limit that it is to check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Past {
    pub limit: Length,
    pub of: GaugeLimit,
}

/// A gauge that is worn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Worn {
    pub limit: Length,
    pub of: WearLimit,
}

/// What a gauge did on a part of which the pitch diameter was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tried {
    /// The measured pitch diameter and its expanded uncertainty, millimetres.
    pub size_mm: f64,
    pub expanded_mm: f64,
    /// What it was held against.
    pub limits: Limits,
    /// Whether the part passes by the gauge: GO entered, NOT GO did not.
    pub conforms: bool,
    /// Turns that the gauge entered.
    pub turns: Option<f64>,
}

crate::messages! {
    /// How a gauge and a measured pitch diameter disagree.
    pub enum Disagreement "gauge-disagreement" {
        /// GO did not enter, and the pitch diameter does not explain it.
        GoStayedOut "go-stayed-out" {
            size: f64 as Size, expanded: f64 as Difference, gauge: f64 as Size, gauge_expanded: f64 as Difference,
        },
        /// GO entered, and the pitch diameter is beyond the limit on that side.
        GoEntered "go-entered" {
            size: f64 as Size, expanded: f64 as Difference, gauge: f64 as Size, gauge_expanded: f64 as Difference,
        },
        /// NOT GO entered, and the pitch diameter does not explain it.
        NotGoEntered "not-go-entered" {
            size: f64 as Size, expanded: f64 as Difference, gauge: f64 as Size, gauge_expanded: f64 as Difference,
        },
        /// NOT GO did not enter, and the pitch diameter is beyond the limit on that side.
        NotGoStayedOut "not-go-stayed-out" {
            size: f64 as Size, expanded: f64 as Difference, gauge: f64 as Size, gauge_expanded: f64 as Difference,
        },
        /// GO entered, and at its certified size it leaves no room for the pitch diameter.
        EnteredTight "entered-tight" {
            size: f64 as Size, expanded: f64 as Difference, gauge: f64 as Size, gauge_expanded: f64 as Difference,
        },
        /// NOT GO did not enter, and at its certified size it has room for the pitch diameter.
        StayedOutWithRoom "stayed-out-with-room" {
            size: f64 as Size, expanded: f64 as Difference, gauge: f64 as Size, gauge_expanded: f64 as Difference,
        },
    }
}

crate::messages! {
    /// What explains it, or does not.
    pub enum GaugeReason "gauge-reason" {
        /// The room between pitch diameter and gauge, and the lead error, or the error of both half angles, that alone takes it.
        FormErrors "form-errors" { room: f64 as Difference, lead: f64 as Difference, angle: f64 as Minutes },
        /// The same where the flanks in mesh are not known.
        LeadError "lead-error" { room: f64 as Difference, lead: f64 as Difference },
        /// The certified size of a GO gauge leaves no room for the pitch diameter.
        GaugeTight "gauge-tight" { by: f64 as Difference },
        /// The certified size of a GO gauge takes in the pitch diameter.
        GaugeLets "gauge-lets" { by: f64 as Difference },
        /// The certified size of a NOT GO gauge takes in the pitch diameter.
        GaugeTakes "gauge-takes" { by: f64 as Difference },
        /// The certified size of a NOT GO gauge keeps it out.
        GaugeKeepsOut "gauge-keeps-out" { by: f64 as Difference },
        /// The two sizes differ by no more than their uncertainties together.
        WithinUncertainty "within-uncertainty" { by: f64 as Difference, expanded: f64 as Difference },
        /// GO cannot pass a thread whose pitch diameter leaves it no room: one of both is wrong.
        NotBoth "not-both" { by: f64 as Difference },
        /// NOT GO entered where the pitch diameter is smaller (of a nut larger) than was measured.
        Elsewhere "elsewhere" { by: f64 as Difference },
        /// Something holds NOT GO back: the lead error over its length that would do it.
        HeldBack "held-back" { by: f64 as Difference, lead: f64 as Difference },
        /// NOT GO entered more turns than its standard permits, or fewer.
        Turns "turns" { turns: f64 as Given, permitted: u32 as whole },
        /// The gauge is within its tolerance when new.
        AsMade "as-made" { lower: Length as bound, upper: Length as bound, standard: String as Text },
        /// It is not.
        NotAsMade "not-as-made" { lower: Length as bound, upper: Length as bound, standard: String as Text },
    }
}

/// A disagreement with what explains it.
#[derive(Clone, Debug, PartialEq)]
pub struct Explained {
    pub disagreement: Disagreement,
    pub reasons: Vec<GaugeReason>,
}

/// The screw gauge of this side.
pub const fn screw_gauge(kind: Kind, is_go: bool) -> GaugeName {
    match (kind, is_go) {
        (Kind::Internal, true) => GaugeName::GoPlug,
        (Kind::Internal, false) => GaugeName::NotGoPlug,
        (Kind::External, true) => GaugeName::GoRing,
        (Kind::External, false) => GaugeName::NotGoRing,
    }
}

/// Turns that a NOT GO gauge may enter: three by ASME B1.2, two by ISO 1502 (from memory).
pub const fn turns_permitted(form: Form) -> Option<u32> {
    match form {
        Form::Unified => Some(3),
        Form::IsoMetric => Some(2),
        _ => None,
    }
}

impl CertifiedGauge {
    /// A gauge for a thread, which must have limits of the pitch diameter to say much.
    pub fn of(
        thread: ThreadLimits,
        is_go: bool,
        size: Length,
        expanded_uncertainty: Length,
        wear_limit: Option<Length>,
    ) -> Self {
        let name = screw_gauge(thread.kind, is_go);
        let set = gauges(&thread, None).ok();
        let made = set.and_then(|set| set.gauges.into_iter().find(|gauge| gauge.name == name));
        Self {
            is_go,
            size,
            expanded_uncertainty,
            wear_limit,
            thread,
            made,
        }
    }

    /// The thread in the notation of its standard.
    pub fn designation(&self) -> &str {
        &self.thread.designation
    }

    fn is_plug(&self) -> bool {
        self.thread.kind == Kind::Internal
    }

    /// The wear limit that it is past; at the limit it is not.
    ///
    /// A plug wears smaller, a ring larger. The limit is the one stated with the gauge or that of ISO 1502, whichever ends its
    /// life sooner; a GO gauge of a standard without wear limits is withdrawn when it leaves the limit of the thread (common
    /// practice, no source).
    pub fn worn(&self) -> Option<Worn> {
        let product = self.thread.pitch_diameter;
        let side = if self.is_plug() {
            product.lower
        } else {
            product.upper
        };
        let made = self.made.as_ref();
        let standard = made.and_then(|made| Some((made.wear_limit?, WearLimit::Standard)));
        let of_thread = || {
            side.filter(|_| self.is_go)
                .map(|limit| (limit, WearLimit::Thread))
        };
        let stated = self.wear_limit.map(|limit| (limit, WearLimit::Stated));
        let known = standard.or_else(of_thread);
        let both = stated.into_iter().chain(known);
        let sooner = |(one, _): &(Length, WearLimit), (other, _): &(Length, WearLimit)| {
            if self.is_plug() {
                other.cmp(one)
            } else {
                one.cmp(other)
            }
        };
        let (limit, of) = both.min_by(sooner)?;
        let is_past = if self.is_plug() {
            self.size < limit
        } else {
            self.size > limit
        };
        is_past.then_some(Worn { limit, of })
    }

    /// What it is past on the side where it accepts parts beyond the limit that it is to check; at the limit it is not.
    ///
    /// `limits` are those of the characteristic that it is tried on. Where they are those of the thread a NOT GO gauge is held
    /// against the tolerance of a new one (ISO 1502, ASME B1.2, from memory), and a GO gauge is told by [`worn`](Self::worn).
    /// No standard makes gauges for other limits: the limit itself holds (a proposal, no source).
    pub fn past(&self, limits: Limits) -> Option<Past> {
        let is_lower = self.is_go == self.is_plug();
        let side = |of: Limits| if is_lower { of.lower } else { of.upper };
        let of_thread = side(self.thread.pitch_diameter);
        let own = side(limits).filter(|limit| Some(*limit) != of_thread);
        let new = || {
            let made = self
                .made
                .as_ref()
                .and_then(|made| side(made.pitch_diameter));
            let new = made.map(|limit| (limit, GaugeLimit::NewGauge));
            let new = new.or_else(|| Some((of_thread?, GaugeLimit::Thread)));
            new.filter(|_| !self.is_go)
        };
        let (limit, of) = own.map(|limit| (limit, GaugeLimit::Drawing)).or_else(new)?;
        let is_past = if is_lower {
            self.size < limit
        } else {
            self.size > limit
        };
        is_past.then_some(Past { limit, of })
    }

    /// By how much more than their uncertainties together, in mm, a measured pitch diameter and the certified size say that
    /// the part cannot have passed: GO that entered is too tight for it, or NOT GO that stayed out has room for it.
    pub fn contradicted(&self, tried: &Tried) -> Option<f64> {
        let room = self.room(tried);
        let both = libm::hypot(tried.expanded_mm, self.expanded_uncertainty.mm());
        let against = if self.is_go { -room } else { room };
        (tried.conforms && against > both).then_some(against)
    }

    /// By which the thread of the part, at its measured pitch diameter, has room in the gauge, mm.
    fn room(&self, tried: &Tried) -> f64 {
        if self.is_plug() {
            tried.size_mm - self.size.mm()
        } else {
            self.size.mm() - tried.size_mm
        }
    }

    /// Turns that the gauge may enter, where it is NOT GO.
    pub fn turns_permitted(&self) -> Option<u32> {
        turns_permitted(self.thread.form).filter(|_| !self.is_go)
    }

    /// How it disagrees with a measured pitch diameter, and what explains it; none where both say the same.
    pub fn explain(&self, tried: &Tried) -> Option<Explained> {
        let Limits { lower, upper } = tried.limits;
        let size = tried.size_mm;
        let below = lower.is_some_and(|limit| size < limit.mm());
        let above = upper.is_some_and(|limit| size > limit.mm());
        let (past_go, past_not_go) = if self.is_plug() {
            (below, above)
        } else {
            (above, below)
        };
        let gauge = self.size.mm();
        let gauge_expanded = self.expanded_uncertainty.mm();
        let expanded = tried.expanded_mm;
        let disagreement = match (self.is_go, tried.conforms) {
            (true, false) if !past_go => Disagreement::GoStayedOut {
                size,
                expanded,
                gauge,
                gauge_expanded,
            },
            (true, true) if past_go => Disagreement::GoEntered {
                size,
                expanded,
                gauge,
                gauge_expanded,
            },
            (false, false) if !past_not_go => Disagreement::NotGoEntered {
                size,
                expanded,
                gauge,
                gauge_expanded,
            },
            (false, true) if past_not_go => Disagreement::NotGoStayedOut {
                size,
                expanded,
                gauge,
                gauge_expanded,
            },
            (true, true) if self.contradicted(tried).is_some() => Disagreement::EnteredTight {
                size,
                expanded,
                gauge,
                gauge_expanded,
            },
            (false, true) if self.contradicted(tried).is_some() => {
                Disagreement::StayedOutWithRoom {
                    size,
                    expanded,
                    gauge,
                    gauge_expanded,
                }
            }
            _ => return None,
        };
        let room = self.room(tried);
        let both = libm::hypot(expanded, gauge_expanded);
        let mut reasons = Vec::new();
        if room.abs() <= both {
            reasons.push(GaugeReason::WithinUncertainty {
                by: room.abs(),
                expanded: both,
            });
        }
        reasons.extend(self.of_size(&disagreement, room, both));
        if let (
            Disagreement::NotGoEntered { .. }
            | Disagreement::NotGoStayedOut { .. }
            | Disagreement::StayedOutWithRoom { .. },
            Some(turns),
        ) = (&disagreement, tried.turns)
        {
            let permitted = self.turns_permitted();
            reasons.extend(permitted.map(|permitted| GaugeReason::Turns { turns, permitted }));
        }
        reasons.extend(self.as_made());
        Some(Explained {
            disagreement,
            reasons,
        })
    }

    /// What the room between both sizes says, beyond the uncertainty of both.
    fn of_size(&self, disagreement: &Disagreement, room: f64, both: f64) -> Option<GaugeReason> {
        let by = room.abs();
        match disagreement {
            Disagreement::GoStayedOut { .. } if room > 0.0 => self.form_errors(room),
            Disagreement::GoStayedOut { .. } if by > both => Some(GaugeReason::GaugeTight { by }),
            Disagreement::GoEntered { .. } if room > 0.0 => Some(GaugeReason::GaugeLets { by }),
            Disagreement::GoEntered { .. } | Disagreement::EnteredTight { .. } if by > both => {
                Some(GaugeReason::NotBoth { by })
            }
            Disagreement::NotGoEntered { .. } if room > 0.0 => Some(GaugeReason::GaugeTakes { by }),
            Disagreement::NotGoEntered { .. } if by > both => Some(GaugeReason::Elsewhere { by }),
            Disagreement::NotGoStayedOut { .. } | Disagreement::StayedOutWithRoom { .. }
                if room > both =>
            {
                let lead = room / self.per_form_error()?.0;
                Some(GaugeReason::HeldBack { by, lead })
            }
            Disagreement::NotGoStayedOut { .. } if room < 0.0 => {
                Some(GaugeReason::GaugeKeepsOut { by })
            }
            _ => None,
        }
    }

    /// The errors of form that take this room, each alone.
    fn form_errors(&self, room: f64) -> Option<GaugeReason> {
        let (per_lead, per_radian) = self.per_form_error()?;
        let lead = room / per_lead;
        Some(match per_radian {
            Some(per_radian) => GaugeReason::FormErrors {
                room,
                lead,
                // Both flanks are off by as much.
                angle: Angle::from_radians(room / (2.0 * per_radian)).degrees() * 60.0,
            },
            None => GaugeReason::LeadError { room, lead },
        })
    }

    /// Millimetres of diameter for a millimetre of lead error, and for a radian of error of one flank where the flanks in mesh
    /// are known. Buttress and taper threads have no such factors here.
    fn per_form_error(&self) -> Option<(f64, Option<f64>)> {
        let side = match self.thread.kind {
            Kind::External => Side::External,
            Kind::Internal => Side::Internal,
        };
        let half = Angle::from_radians(self.thread.included_angle.radians() / 2.0);
        let flank = FlankInMesh::of_standard_form(side, self.thread.included_angle);
        let right = Angle::from_radians(0.0);
        let errors = FormErrors {
            side,
            pitch_mm: self.thread.pitch.mm(),
            leading_half_angle: half,
            following_half_angle: half,
            flank: flank.unwrap_or(FlankInMesh::symmetric(0.0)),
            pitch_error_mm: 0.0,
            leading_angle_error: right,
            following_angle_error: right,
        };
        let per = functional_difference(&errors, AngleTerm::Published).ok()?;
        Some((per.per_pitch_error, flank.map(|_| per.per_radian_mm)))
    }

    fn as_made(&self) -> Option<GaugeReason> {
        let made = self.made.as_ref()?;
        let (lower, upper) = (made.pitch_diameter.lower?, made.pitch_diameter.upper?);
        let standard = made.standard.clone();
        Some(if (lower..=upper).contains(&self.size) {
            GaugeReason::AsMade {
                lower,
                upper,
                standard,
            }
        } else {
            GaugeReason::NotAsMade {
                lower,
                upper,
                standard,
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::designation::parse;

    fn gauge(designation: &str, is_go: bool, size: &str) -> CertifiedGauge {
        let thread = parse(designation).unwrap().limits().unwrap();
        CertifiedGauge::of(thread, is_go, length(size), length("0.0015mm"), None)
    }

    fn length(text: &str) -> Length {
        crate::units::Entered::parse(text, None).unwrap().value()
    }

    fn tried(gauge: &CertifiedGauge, size_mm: f64, conforms: bool) -> Option<Explained> {
        gauge.explain(&Tried {
            size_mm,
            expanded_mm: 0.002,
            limits: gauge.thread.pitch_diameter,
            conforms,
            turns: Some(4.5),
        })
    }

    /// 12 µm of lead error take 20.8 µm of pitch diameter at 60° (cot 30°, Handbook H28), and 0.36 P µm go with each minute of
    /// both half angles (printed factor): 20.8 / 0.545 = 38′.
    #[test]
    fn go_stays_out_of_a_good_pitch_diameter() {
        let ring = gauge("M10x1.5-6g", true, "8.986mm");
        let found = tried(&ring, 8.986 - 0.020_785, false).unwrap();
        assert!(matches!(
            found.disagreement,
            Disagreement::GoStayedOut { .. }
        ));
        let Some(GaugeReason::FormErrors { room, lead, angle }) = found.reasons.first() else {
            panic!("{found:?}");
        };
        assert!((room - 0.020_785).abs() < 1e-9);
        assert!((lead - 0.012).abs() < 1e-6, "{lead}");
        assert!((angle - 38.1).abs() < 0.1, "{angle}");
        // ISO 1502: 8.994 - 0.008 ± 0.009 (limit_gauges, 3.4).
        let Some(GaugeReason::AsMade { lower, upper, .. }) = found.reasons.get(1) else {
            panic!("{found:?}");
        };
        assert_eq!((*lower, *upper), (length("8.977mm"), length("8.995mm")));
    }

    #[test]
    fn the_size_of_the_gauge_explains_it() {
        let ring = gauge("M10x1.5-6g", true, "8.970mm");
        let reasons = |found: Option<Explained>| {
            let codes = |one: &GaugeReason| one.code().split_once('.').unwrap().1;
            found.unwrap().reasons.iter().map(codes).collect::<Vec<_>>()
        };
        assert_eq!(
            reasons(tried(&ring, 8.980, false)),
            ["gauge-tight", "not-as-made"]
        );
        assert_eq!(
            reasons(tried(&ring, 8.971, false)),
            ["within-uncertainty", "not-as-made"]
        );
        // Within the limits and through the gauge, or beyond them and not.
        assert_eq!(tried(&ring, 8.960, true), None);
        assert_eq!(tried(&ring, 9.000, false), None);
        assert_eq!(
            reasons(tried(&ring, 9.000, true)),
            ["not-both", "not-as-made"]
        );
        let large = gauge("M10x1.5-6g", true, "9.005mm");
        assert_eq!(
            reasons(tried(&large, 9.000, true)),
            ["gauge-lets", "not-as-made"]
        );
    }

    /// A NOT GO ring of ISO 1502 lies below the product limit, one of ASME B1.2 above it.
    #[test]
    fn not_go_by_turns_and_size() {
        let codes = |found: Option<Explained>| {
            let codes = |one: &GaugeReason| one.code().split_once('.').unwrap().1;
            found.map(|found| found.reasons.iter().map(codes).collect::<Vec<_>>())
        };
        let ring = gauge("M10x1.5-6g", false, "8.853mm");
        assert_eq!(
            codes(tried(&ring, 8.900, false)).unwrap(),
            ["elsewhere", "turns", "as-made"]
        );
        assert_eq!(
            codes(tried(&ring, 8.857, true)).unwrap(),
            ["gauge-keeps-out", "turns", "as-made"]
        );
        assert_eq!(codes(tried(&ring, 8.840, false)), None);
        assert_eq!(ring.turns_permitted(), Some(2));
        let inch = gauge("1/4-20 UNC-2A", false, "0.2129in");
        assert_eq!(inch.turns_permitted(), Some(3));
        // 0.21285 in is within the limits (0.2127 to 0.2164), and the ring takes it in.
        let found = tried(&inch, 0.21285 * 25.4, false);
        assert_eq!(
            codes(found).unwrap(),
            ["within-uncertainty", "gauge-takes", "turns", "as-made"]
        );
        // A plug holds the other way round: too large a nut, and the plug stays out.
        let plug = gauge("M10x1.5-6H", false, "9.210mm");
        assert_eq!(
            codes(tried(&plug, 9.230, true)).unwrap(),
            ["held-back", "turns", "as-made"]
        );
        assert_eq!(codes(tried(&plug, 9.100, true)), None);
    }

    #[test]
    fn a_worn_gauge() {
        // M10-6g: 9.007 by ISO 1502 (limit_gauges, 3.4).
        assert_eq!(gauge("M10x1.5-6g", true, "9.007mm").worn(), None);
        let worn = gauge("M10x1.5-6g", true, "9.008mm").worn().unwrap();
        assert_eq!(
            (worn.limit, worn.of),
            (length("9.007mm"), WearLimit::Standard)
        );
        let mut stated = gauge("M10x1.5-6H", true, "9.021mm");
        stated.wear_limit = Some(length("9.022mm"));
        assert_eq!(stated.worn().unwrap().of, WearLimit::Stated);
        let inch = gauge("1/4-20 UNC-2A", true, "0.2165in");
        assert_eq!(inch.worn().unwrap().of, WearLimit::Thread);
        assert_eq!(gauge("1/4-20 UNC-2A", false, "0.2140in").worn(), None);
        // A wear limit beyond that of the standard, or of the thread, does not hide that the gauge is past the latter.
        let stated = |designation, size, wear_limit| {
            let mut gauge = gauge(designation, true, size);
            gauge.wear_limit = Some(length(wear_limit));
            gauge.worn().map(|worn| (worn.limit, worn.of))
        };
        let of_standard = |limit| Some((length(limit), WearLimit::Standard));
        assert_eq!(
            stated("M10x1.5-6g", "9.050mm", "9.1mm"),
            of_standard("9.007mm")
        );
        assert_eq!(
            stated("M10x1.5-6H", "8.90mm", "8.8mm"),
            of_standard("9.0205mm")
        );
        assert_eq!(
            stated("1/4-20 UNC-2A", "0.2170in", "0.2180in"),
            Some((length("0.2164in"), WearLimit::Thread))
        );
    }

    /// NOT GO M10-6g: 8.844 to 8.862 when new (limit_gauges, 3.4); NOT GO M10-6H: up to 9.217; of 1/4-20 UNC-2A from 0.2127 in.
    #[test]
    fn a_gauge_that_accepts_what_is_beyond_the_limit() {
        let past = |gauge: &CertifiedGauge| {
            let past = gauge.past(gauge.thread.pitch_diameter);
            past.map(|past| (past.limit, past.of))
        };
        let new = |limit| Some((length(limit), GaugeLimit::NewGauge));
        let not_go = |designation, size| past(&gauge(designation, false, size));
        assert_eq!(not_go("M10x1.5-6g", "8.500mm"), new("8.844mm"));
        assert_eq!(not_go("M10x1.5-6g", "8.8439mm"), new("8.844mm"));
        assert_eq!(not_go("M10x1.5-6g", "8.844mm"), None);
        assert_eq!(not_go("M10x1.5-6H", "9.300mm"), new("9.217mm"));
        assert_eq!(not_go("M10x1.5-6H", "9.217mm"), None);
        assert_eq!(not_go("1/4-20 UNC-2A", "5.20mm"), new("0.2127in"));
        assert_eq!(not_go("1/4-20 UNC-2A", "0.2129in"), None);
        // One that is too strict accepts nothing beyond the limit.
        assert_eq!(not_go("M10x1.5-6g", "9.02mm"), None);
        // No gauge standard is held for it: the limit of the thread.
        let trapezoidal = gauge("Tr 30x6-7e", false, "26mm");
        assert!(matches!(past(&trapezoidal), Some((_, GaugeLimit::Thread))));
    }

    /// Limits of the drawing, and those before coating (8.994 - 4 × 0.008), hold for the gauge too.
    #[test]
    fn a_gauge_is_held_against_the_limits_of_the_drawing() {
        let ring = gauge("M10x1.5-6g", true, "8.9862mm");
        let past = |lower: &str, upper: &str| {
            let past = ring.past(Limits::between(length(lower), length(upper)));
            past.map(|past| (past.limit, past.of))
        };
        let drawing = |limit| Some((length(limit), GaugeLimit::Drawing));
        assert_eq!(past("8.820mm", "8.940mm"), drawing("8.940mm"));
        assert_eq!(past("8.842mm", "8.962mm"), drawing("8.962mm"));
        assert_eq!(past("8.820mm", "8.9862mm"), None);
        assert_eq!(past("8.862mm", "8.994mm"), None);
        assert_eq!(ring.past(Limits::default()), None);
        let not_go = gauge("M10x1.5-6g", false, "8.853mm");
        let narrow = Limits::between(length("8.900mm"), length("8.940mm"));
        assert_eq!(not_go.past(narrow).unwrap().limit, length("8.900mm"));
    }

    /// What a gauge did and the measured size contradict each other within the limits too.
    #[test]
    fn a_size_that_the_gauge_cannot_have_passed() {
        let codes = |found: Option<Explained>| {
            let found = found.unwrap();
            let reasons = found.reasons.iter().map(GaugeReason::code);
            let all = std::iter::once(found.disagreement.code()).chain(reasons);
            all.map(|code| code.split_once('.').unwrap().1)
                .collect::<Vec<_>>()
        };
        let ring = gauge("M10x1.5-6g", true, "8.900mm");
        assert_eq!(
            codes(tried(&ring, 8.9805, true)),
            ["entered-tight", "not-both", "not-as-made"]
        );
        assert_eq!(tried(&ring, 8.902, true), None);
        assert_eq!(tried(&ring, 8.890, true), None);
        let not_go = gauge("M10x1.5-6g", false, "8.980mm");
        assert_eq!(
            codes(tried(&not_go, 8.900, true)),
            ["stayed-out-with-room", "held-back", "turns", "not-as-made"]
        );
        assert_eq!(tried(&not_go, 8.979, true), None);
    }
}
