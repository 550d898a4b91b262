//! The set-ups of the simulated bench: what a technician might have at hand, with what is known of it.
//!
//! The numbers are invented and meant to be usual. Every influence is drawn from what the job states about it, so
//! that a budget which tells the truth covers 95 %.

use metrology::inspection::Scope;
use metrology::units::LengthUnit;

metrology::codes! {
    /// The set-ups of the simulated bench.
    pub enum SetUpName "simulated-set-up" {
        /// M10 on a rod, all known.
        M10Rod "m10-rod",
        /// 1/4-20 on a plug, single readings.
        QuarterInchPlug "quarter-inch-plug",
        /// M6, no closing check, no thermometer.
        M6 "m6-no-closing-check",
        /// M20, flank angles within 10 minutes.
        M20 "m20-flank-angles",
        /// 11.7 mm shaft, flat faces.
        Shaft "shaft",
        /// M8, display of 0.01 mm.
        M8 "m8-coarse-display",
        /// M12, a shaky hand, nine places.
        M12 "m12-nine-places",
        /// M10 over wires, flanks within 15 minutes.
        M10Wires "m10-wires",
        /// 1/4-20 over wires, used under force.
        QuarterInchWires "quarter-inch-wires",
        /// Tr 20, two starts, over wires.
        Tr20Wires "tr20-wires",
        /// All of them together.
        All "all",
        /// Two places of a part with form of 3 µm, the default.
        TwoPlaces "two-places",
        /// The same with form of 1 µm.
        TwoPlacesForm1 "two-places-form-1",
        /// The same with form of 5 µm, more than the default.
        TwoPlacesForm5 "two-places-form-5",
        /// The same with form of 10 µm.
        TwoPlacesForm10 "two-places-form-10",
        /// Three places of a part with form of 3 µm.
        ThreePlaces "three-places",
        /// The same with form of 1 µm.
        ThreePlacesForm1 "three-places-form-1",
        /// The same with form of 5 µm, more than the default.
        ThreePlacesForm5 "three-places-form-5",
        /// The same with form of 10 µm.
        ThreePlacesForm10 "three-places-form-10",
        /// M10 on a rod, nothing stated of the flanks.
        FlanksOnRod "flanks-on-rod",
        /// M10 on a plug, nothing stated of the flanks.
        FlanksOnPlug "flanks-on-plug",
        /// An aluminium shaft in a room that nobody reads.
        AluminiumUnread "aluminium-unread",
        /// Errors of indication that are independent at part and standard.
        IndependentErrors "independent-errors",
        /// One place that the job asks for, read once.
        OnePlace "one-place",
        /// One place that the job asks for, read four times by a hand that nobody knows.
        OnePlaceNoPrior "one-place-no-prior",
        /// Two places read once each, by a hand that nobody knows.
        TwoReadings "two-readings",
    }
}

/// What is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Feature {
    /// The pitch diameter of an external thread, with V and cone.
    Thread {
        designation: &'static str,
        /// Where zero is set.
        standard: ThreadStandard,
    },
    /// The pitch diameter of an external thread, over three wires between flat faces.
    OverWires {
        designation: &'static str,
        wires: Wires,
        /// Nominal length of the plain standard that zero is set on, millimetres.
        standard: u32,
    },
    /// A plain diameter between these limits (text with unit), with flat faces on a plain standard.
    Plain {
        /// Smallest permitted size.
        lower: &'static str,
        /// Largest permitted size.
        upper: &'static str,
    },
}

/// What zero is set on for a thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ThreadStandard {
    /// A rod of this length, millimetres, with a V at one end and a cone at the other.
    Rod(u32),
    /// A thread plug of the same thread.
    Plug,
}

/// A set of three wires.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wires {
    /// Nominal diameter, millimetres.
    pub nominal: f64,
    /// Expanded uncertainty (k = 2) of the certified diameter of any one of them, micrometres.
    pub expanded: f64,
    /// Whether they were calibrated under force on a cylinder; else the free diameter is certified.
    pub calibrated_under_force: bool,
    /// Measuring force, newtons.
    pub force: f64,
}

/// One way of measuring. Lengths in micrometres, of the spread that the job states.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetUp {
    /// Its name in the table.
    pub name: SetUpName,
    /// What is measured.
    pub feature: Feature,
    /// The unit of the display.
    pub unit: LengthUnit,
    /// Decimals of the display.
    pub decimals: u32,
    /// An error curve with this expanded uncertainty (k = 2); otherwise the maximum permissible error.
    pub curve: Option<f64>,
    /// Maximum permissible error, or with a curve the size of the errors that it shows.
    pub indication: f64,
    /// Half the periodic error of the screw.
    pub periodic: f64,
    /// Expanded uncertainty (k = 2) of the certified size of the standard.
    pub standard: f64,
    /// Standard deviation of one reading.
    pub repeatability: f64,
    /// Degrees of freedom with which it is known from before; none where it is not.
    pub prior: Option<u32>,
    /// Places measured.
    pub places: usize,
    /// Readings at each.
    pub readings: usize,
    /// What the job asks about.
    pub scope: Scope,
    /// Readings on the standard before the job.
    pub before: usize,
    /// Readings on the standard after the job.
    pub after: usize,
    /// Largest drift of the zero over the job.
    pub drift: f64,
    /// Standard uncertainty of each temperature, kelvins; none where no thermometer is read.
    pub thermometer: Option<f64>,
    /// Material of the part.
    pub material: &'static str,
    /// Amplitude of ovality (the diameter swings by plus or minus this).
    pub ovality: f64,
    /// Taper over the measured length.
    pub taper: f64,
    /// Standard deviation of local irregularity between places.
    pub local: f64,
    /// How far each half angle of the contacts may be off, minutes of arc.
    pub contact_angle: f64,
    /// How far the half angles of the part are off at most, minutes of arc.
    pub flank_angle: f64,
    /// Whether the job states that.
    pub flanks_stated: bool,
    /// How far the pitch between neighbouring threads is off at most.
    pub pitch: f64,
    /// How far the room is from 20 °C at most, kelvins.
    pub room: f64,
    /// Whether the errors at part and standard have nothing in common.
    pub independent: bool,
}

/// A thread on a rod, everything known that can be.
const WELL_KNOWN: SetUp = SetUp {
    name: SetUpName::M10Rod,
    feature: Feature::Thread {
        designation: "M10x1.5-6g",
        standard: ThreadStandard::Rod(10),
    },
    unit: LengthUnit::Millimetre,
    decimals: 3,
    curve: Some(0.8),
    indication: 2.0,
    periodic: 0.5,
    standard: 0.6,
    repeatability: 0.8,
    prior: Some(29),
    places: 4,
    readings: 2,
    scope: Scope::Part,
    before: 3,
    after: 3,
    drift: 1.0,
    thermometer: Some(0.3),
    material: "brass",
    ovality: 1.0,
    taper: 2.0,
    local: 0.3,
    contact_angle: 3.0,
    flank_angle: 0.0,
    flanks_stated: true,
    pitch: 3.0,
    room: 2.0,
    independent: false,
};

/// All of them.
pub const SET_UPS: [SetUp; 25] = [
    WELL_KNOWN,
    SetUp {
        name: SetUpName::QuarterInchPlug,
        feature: Feature::Thread {
            designation: "1/4-20 UNC-2A",
            standard: ThreadStandard::Plug,
        },
        unit: LengthUnit::Inch,
        decimals: 4,
        curve: None,
        indication: 2.54,
        standard: 1.524,
        repeatability: 1.5,
        prior: None,
        places: 5,
        readings: 1,
        drift: 2.0,
        material: "steel",
        ovality: 2.0,
        contact_angle: 4.0,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::M6,
        feature: Feature::Thread {
            designation: "M6x1-6g",
            standard: ThreadStandard::Rod(5),
        },
        curve: None,
        indication: 3.0,
        prior: None,
        places: 3,
        after: 0,
        drift: 2.0,
        thermometer: None,
        material: "steel",
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::M20,
        feature: Feature::Thread {
            designation: "M20x2.5-6g",
            standard: ThreadStandard::Rod(20),
        },
        curve: None,
        indication: 4.0,
        standard: 1.0,
        repeatability: 1.5,
        prior: Some(9),
        places: 6,
        readings: 1,
        material: "steel",
        ovality: 3.0,
        taper: 4.0,
        contact_angle: 4.0,
        flank_angle: 10.0,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::Shaft,
        feature: Feature::Plain {
            lower: "11.673mm",
            upper: "11.700mm",
        },
        curve: Some(0.6),
        indication: 1.5,
        prior: None,
        places: 3,
        readings: 3,
        thermometer: Some(0.5),
        material: "aluminium",
        local: 0.2,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::M8,
        feature: Feature::Thread {
            designation: "M8x1.25-6g",
            standard: ThreadStandard::Plug,
        },
        decimals: 2,
        curve: None,
        indication: 4.0,
        standard: 2.0,
        repeatability: 2.0,
        prior: None,
        readings: 1,
        drift: 3.0,
        material: "steel",
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::M12,
        feature: Feature::Thread {
            designation: "M12x1.75-6g",
            standard: ThreadStandard::Plug,
        },
        repeatability: 4.0,
        prior: None,
        places: 9,
        readings: 1,
        material: "steel",
        ovality: 0.5,
        taper: 0.5,
        local: 0.1,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::M10Wires,
        feature: Feature::OverWires {
            designation: "M10x1.5-6g",
            wires: Wires {
                nominal: 0.895,
                expanded: 0.5,
                calibrated_under_force: false,
                force: 2.0,
            },
            standard: 10,
        },
        contact_angle: 0.0,
        flank_angle: 15.0,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::QuarterInchWires,
        feature: Feature::OverWires {
            designation: "1/4-20 UNC-2A",
            wires: Wires {
                nominal: 0.733,
                expanded: 0.2,
                calibrated_under_force: true,
                force: 4.5,
            },
            standard: 6,
        },
        unit: LengthUnit::Inch,
        decimals: 5,
        curve: Some(0.4),
        indication: 1.0,
        periodic: 0.2,
        standard: 0.3,
        repeatability: 0.5,
        readings: 3,
        drift: 0.5,
        material: "steel",
        contact_angle: 0.0,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::Tr20Wires,
        feature: Feature::OverWires {
            designation: "Tr20x8P4-7e",
            wires: Wires {
                nominal: 2.05,
                expanded: 1.0,
                calibrated_under_force: false,
                force: 8.0,
            },
            standard: 20,
        },
        curve: None,
        indication: 2.0,
        standard: 1.0,
        repeatability: 1.2,
        prior: Some(9),
        readings: 1,
        material: "steel",
        contact_angle: 0.0,
        flank_angle: 10.0,
        ..WELL_KNOWN
    },
    few_places(SetUpName::TwoPlaces, 2, 3.0),
    few_places(SetUpName::TwoPlacesForm1, 2, 1.0),
    few_places(SetUpName::TwoPlacesForm5, 2, 5.0),
    few_places(SetUpName::TwoPlacesForm10, 2, 10.0),
    few_places(SetUpName::ThreePlaces, 3, 3.0),
    few_places(SetUpName::ThreePlacesForm1, 3, 1.0),
    few_places(SetUpName::ThreePlacesForm5, 3, 5.0),
    few_places(SetUpName::ThreePlacesForm10, 3, 10.0),
    SetUp {
        name: SetUpName::FlanksOnRod,
        flank_angle: 10.0,
        flanks_stated: false,
        material: "steel",
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::FlanksOnPlug,
        feature: Feature::Thread {
            designation: "M10x1.5-6g",
            standard: ThreadStandard::Plug,
        },
        flank_angle: 10.0,
        flanks_stated: false,
        material: "steel",
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::AluminiumUnread,
        feature: Feature::Plain {
            lower: "21.950mm",
            upper: "22.000mm",
        },
        thermometer: None,
        material: "aluminium",
        room: 8.0,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::IndependentErrors,
        feature: Feature::Plain {
            lower: "11.673mm",
            upper: "11.700mm",
        },
        curve: None,
        indication: 2.0,
        material: "steel",
        independent: true,
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::OnePlace,
        places: 1,
        readings: 1,
        scope: Scope::Place,
        local: 3.0,
        material: "steel",
        ..WELL_KNOWN
    },
    SetUp {
        name: SetUpName::OnePlaceNoPrior,
        prior: None,
        places: 1,
        readings: 4,
        scope: Scope::Place,
        local: 3.0,
        material: "steel",
        ..WELL_KNOWN
    },
    SetUp {
        readings: 1,
        ..few_places(SetUpName::TwoReadings, 2, 3.0)
    },
];

/// M10 on a rod at so few places, with this standard deviation of form between them, micrometres, and nothing else of form.
const fn few_places(name: SetUpName, places: usize, form: f64) -> SetUp {
    SetUp {
        name,
        prior: None,
        places,
        ovality: 0.0,
        taper: 0.0,
        local: form,
        material: "steel",
        ..WELL_KNOWN
    }
}
