//! The bibliography: every number in this program names one of these.
//!
//! Documentation links to a variant, data files carry its [`key`](Source::key), and reports print its
//! [title](Source::document). What could not be read in the document itself says so in its [`Confidence`].

use std::fmt;
use std::str::FromStr;

/// A published document, or the plain statement that there is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Source {
    /// ASME B1.1-2003, *Unified Inch Screw Threads (UN and UNR Thread Form)*.
    AsmeB1_1,
    /// ASME B1.2-1983 (R2017), *Gages and Gaging for Unified Inch Screw Threads*.
    AsmeB1_2,
    /// ASME B89.1.5-1998, *Measurement of Plain External Diameters for Use as Master Discs or Cylindrical Plug Gages*.
    AsmeB89_1_5,
    /// ASME B1.30-2002, *Screw Threads: Standard Practice for Calculating and Rounding Dimensions*.
    AsmeB1_30,
    /// ASTM F1941, *Electrodeposited Coatings on Mechanical Fasteners*.
    AstmF1941,
    /// *Machinery's Handbook*, 27th edition, 2004.
    Handbook27,
    /// *Machinery's Handbook*, 31st edition, 2020.
    Handbook31,
    /// ISO 68-1:1998, *ISO general purpose screw threads: basic profile: metric screw threads*.
    Iso68_1,
    /// ISO 261:1998, *ISO general purpose metric screw threads: general plan*.
    Iso261,
    /// ISO 724:1993, *ISO general-purpose metric screw threads: basic dimensions*.
    Iso724,
    /// ISO 965-1:2013, *ISO general purpose metric screw threads: tolerances: principles and basic data*.
    Iso965_1,
    /// ISO 1502:1996, *ISO general-purpose metric screw threads: gauges and gauging*.
    Iso1502,
    /// ASME B1.5-1997, *Acme Screw Threads*.
    AsmeB1_5,
    /// ASME B1.8-1988, *Stub Acme Screw Threads*.
    AsmeB1_8,
    /// ASME B1.15-1995, *Unified Inch Screw Threads (UNJ Thread Form)*.
    AsmeB1_15,
    /// ASME B1.20.1-1983, *Pipe Threads, General Purpose (Inch)*.
    AsmeB1_20_1,
    /// SAE AS8879, *Screw Threads, UNJ Profile, Inch*.
    SaeAs8879,
    /// BS 84:2007, *Parallel screw threads of Whitworth form*.
    Bs84,
    /// BS 93:2008, *British Association (B.A.) screw threads*.
    Bs93,
    /// ISO 228-1:2000, *Pipe threads where pressure-tight joints are not made on the threads*.
    Iso228_1,
    /// ISO 7-1:1994, *Pipe threads where pressure-tight joints are made on the threads*.
    Iso7_1,
    /// JIS B 0203:1999, *Taper pipe threads*, annexed tables, as catalogues reprint them; taken for the national form of ISO 7-1.
    JisB0203,
    /// ISO 2901:2016, *ISO metric trapezoidal screw threads: basic and design profiles*.
    Iso2901,
    /// ISO 2902:2016, *ISO metric trapezoidal screw threads: general plan*.
    Iso2902,
    /// ISO 2903:1993, *ISO metric trapezoidal screw threads: tolerances*.
    Iso2903,
    /// ISO 5855-1:1999, *Aerospace: MJ threads: general requirements*.
    Iso5855_1,
    /// GOST 6357-81, *Cylindrical pipe thread*.
    Gost6357,
    /// NBS Handbook H28 (1957), part III, *Screw-Thread Standards for Federal Services*.
    HandbookH28,
    /// A dimension table that a maker of the goods publishes; the place of use says which dimensions.
    TradeTable,
    /// CSIRO National Standards Laboratory Technical Paper 25 (1969), *The elastic compression of spheres and cylinders
    /// at point and line contact*.
    CsiroTp25,
    /// ISO 16239:2013, *Metric series wires for measuring screw threads*.
    Iso16239,
    /// JCGM 100:2008, *Guide to the expression of uncertainty in measurement*.
    Jcgm100,
    /// JCGM 101:2008, *Supplement 1 to the GUM: propagation of distributions using a Monte Carlo method*.
    Jcgm101,
    /// JCGM 106:2012, *The role of measurement uncertainty in conformity assessment*.
    Jcgm106,
    /// ISO 14253-1:2017, *Decision rules for verifying conformity or nonconformity with specifications*.
    Iso14253_1,
    /// ILAC-G8:09/2019, *Guidelines on decision rules and statements of conformity*.
    IlacG8,
    /// ASME B89.7.3.1-2001, *Guidelines for decision rules*.
    AsmeB89_7_3_1,
    /// ANSI/NCSL Z540.3-2006, *Requirements for the calibration of measuring and test equipment*.
    Z540_3,
    /// ISO 1:2022, *Standard reference temperature for the specification of geometrical properties*.
    Iso1,
    /// ISO 3611:2010, *Micrometers for external measurements: design and metrological characteristics*.
    Iso3611,
    /// JCGM 200:2012, *International vocabulary of metrology*.
    Jcgm200,
    /// *Journal of Research of NIST* 99 (1994) 31: thermal expansion of steel and aluminium.
    NistJRes99,
    /// W. D. Callister, *Fundamentals of Materials Science and Engineering*, 3rd edition, 2007, appendix B.
    Callister,
    /// S. Kalpakjian and S. R. Schmid, *Manufacturing Engineering and Technology*, 4th edition, 2001.
    Kalpakjian,
    /// ASTM B258, *Nominal diameters and cross-sectional areas of AWG sizes of solid round wires*.
    AstmB258,
    /// ASTM D668-99, *Dimensions of rigid rods and tubes used for electrical insulation*, an extract.
    AstmD668,
    /// ISO 4292:1985, *Methods for the assessment of departure from roundness: two- and three-point methods*; scope read.
    Iso4292,
    /// ASME B17.1, *Keys and keyseats*, from memory.
    AsmeB17_1,
    /// UL 486A, *Wire connectors*, as reprinted by connector makers.
    Ul486A,
    /// UL 486E, *Equipment wiring terminals*, as reprinted; not a rule for crimps.
    Ul486E,
    /// SAE AS7928 (formerly MIL-T-7928), *Terminals, lug*, as reprinted by a connector maker.
    As7928,
    /// NASA-STD-8739.4 with Change 6 (2011), *Crimping, interconnecting cables, harnesses, and wiring*.
    NasaStd8739_4,
    /// IEC 60352-2:2006, *Solderless connections: crimped connections*, from memory.
    Iec60352_2,
    /// SAE AS39029 (formerly MIL-C-39029), *Contacts, electrical connector*, from memory.
    As39029,
    /// MIL-STD-105E (1989), *Sampling procedures and tables for inspection by attributes*, as public copies and reprints have it.
    MilStd105E,
    /// Public application sheets of connector makers: how crimps are measured.
    CrimpSheets,
    /// Elementary geometry: anyone can derive it, and the place of use does.
    Geometry,
    /// Common practice, no source.
    CommonPractice,
    /// From memory, not read in a document.
    Memory,
}

/// How far a published number has been seen in print.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Confidence {
    /// From memory only.
    Weak,
    /// Read in a single reprint, not in the document itself.
    Secondary,
    /// From memory, and equal to a formula computed independently.
    FormulaBacked,
    /// Read in print, or two printed sources agree.
    Solid,
}

impl Confidence {
    /// The mark in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Weak => "from memory, weak",
            Self::Secondary => "read in one reprint",
            Self::FormulaBacked => "from memory, equal to a formula",
            Self::Solid => "read in print",
        }
    }
}

impl Source {
    /// Every source, in the order of the bibliography.
    pub const ALL: &'static [Self] = &[
        Self::AsmeB1_1,
        Self::AsmeB1_2,
        Self::AsmeB89_1_5,
        Self::AsmeB1_30,
        Self::AstmF1941,
        Self::Handbook27,
        Self::Handbook31,
        Self::Iso68_1,
        Self::Iso261,
        Self::Iso724,
        Self::Iso965_1,
        Self::Iso1502,
        Self::AsmeB1_5,
        Self::AsmeB1_8,
        Self::AsmeB1_15,
        Self::AsmeB1_20_1,
        Self::SaeAs8879,
        Self::Bs84,
        Self::Bs93,
        Self::Iso228_1,
        Self::Iso7_1,
        Self::JisB0203,
        Self::Iso2901,
        Self::Iso2902,
        Self::Iso2903,
        Self::Iso5855_1,
        Self::Gost6357,
        Self::HandbookH28,
        Self::TradeTable,
        Self::CsiroTp25,
        Self::Iso16239,
        Self::Jcgm100,
        Self::Jcgm101,
        Self::Jcgm106,
        Self::Iso14253_1,
        Self::IlacG8,
        Self::AsmeB89_7_3_1,
        Self::Z540_3,
        Self::Iso1,
        Self::Iso3611,
        Self::Jcgm200,
        Self::NistJRes99,
        Self::Callister,
        Self::Kalpakjian,
        Self::AstmB258,
        Self::AstmD668,
        Self::Iso4292,
        Self::AsmeB17_1,
        Self::Ul486A,
        Self::Ul486E,
        Self::As7928,
        Self::NasaStd8739_4,
        Self::Iec60352_2,
        Self::As39029,
        Self::MilStd105E,
        Self::CrimpSheets,
        Self::Geometry,
        Self::CommonPractice,
        Self::Memory,
    ];

    /// The key that data files write in their `source` column.
    pub const fn key(self) -> &'static str {
        match self {
            Self::AsmeB1_1 => "asme-b1.1-2003",
            Self::AsmeB1_2 => "asme-b1.2-1983",
            Self::AsmeB89_1_5 => "asme-b89.1.5-1998",
            Self::AsmeB1_30 => "asme-b1.30-2002",
            Self::AstmF1941 => "astm-f1941",
            Self::Handbook27 => "handbook27",
            Self::Handbook31 => "handbook31",
            Self::Iso68_1 => "iso-68-1-1998",
            Self::Iso261 => "iso-261-1998",
            Self::Iso724 => "iso-724-1993",
            Self::Iso965_1 => "iso-965-1-2013",
            Self::Iso1502 => "iso-1502-1996",
            Self::AsmeB1_5 => "asme-b1.5-1997",
            Self::AsmeB1_8 => "asme-b1.8-1988",
            Self::AsmeB1_15 => "asme-b1.15-1995",
            Self::AsmeB1_20_1 => "asme-b1.20.1-1983",
            Self::SaeAs8879 => "sae-as8879",
            Self::Bs84 => "bs-84-2007",
            Self::Bs93 => "bs-93-2008",
            Self::Iso228_1 => "iso-228-1-2000",
            Self::Iso7_1 => "iso-7-1-1994",
            Self::JisB0203 => "jis-b-0203-1999",
            Self::Iso2901 => "iso-2901-2016",
            Self::Iso2902 => "iso-2902-2016",
            Self::Iso2903 => "iso-2903-1993",
            Self::Iso5855_1 => "iso-5855-1-1999",
            Self::Gost6357 => "gost-6357-81",
            Self::HandbookH28 => "nbs-h28-1957",
            Self::TradeTable => "trade-table",
            Self::CsiroTp25 => "csiro-tp-25",
            Self::Iso16239 => "iso-16239-2013",
            Self::Jcgm100 => "jcgm-100-2008",
            Self::Jcgm101 => "jcgm-101-2008",
            Self::Jcgm106 => "jcgm-106-2012",
            Self::Iso14253_1 => "iso-14253-1-2017",
            Self::IlacG8 => "ilac-g8-2019",
            Self::AsmeB89_7_3_1 => "asme-b89.7.3.1-2001",
            Self::Z540_3 => "ansi-ncsl-z540.3-2006",
            Self::Iso1 => "iso-1-2022",
            Self::Iso3611 => "iso-3611-2010",
            Self::Jcgm200 => "jcgm-200-2012",
            Self::NistJRes99 => "nist-jres-99-31",
            Self::Callister => "callister-2007",
            Self::Kalpakjian => "kalpakjian-2001",
            Self::AstmB258 => "astm-b258",
            Self::AstmD668 => "astm-d668-1999",
            Self::Iso4292 => "iso-4292-1985",
            Self::AsmeB17_1 => "asme-b17.1",
            Self::Ul486A => "ul-486a",
            Self::Ul486E => "ul-486e",
            Self::As7928 => "as7928",
            Self::NasaStd8739_4 => "nasa-std-8739.4",
            Self::Iec60352_2 => "iec-60352-2-2006",
            Self::As39029 => "as39029",
            Self::MilStd105E => "mil-std-105e",
            Self::CrimpSheets => "crimp-sheets",
            Self::Geometry => "geometry",
            Self::CommonPractice => "common-practice",
            Self::Memory => "memory",
        }
    }

    /// The title of a document, as it stands on a report; `None` where there is none to name.
    pub const fn document(self) -> Option<&'static str> {
        let title = match self {
            Self::AsmeB1_1 => "ASME B1.1-2003",
            Self::AsmeB1_2 => "ASME B1.2-1983",
            Self::AsmeB89_1_5 => "ASME B89.1.5-1998",
            Self::AsmeB1_30 => "ASME B1.30-2002",
            Self::AstmF1941 => "ASTM F1941",
            Self::Handbook27 => "Machinery's Handbook, 27th ed.",
            Self::Handbook31 => "Machinery's Handbook, 31st ed.",
            Self::Iso68_1 => "ISO 68-1:1998",
            Self::Iso261 => "ISO 261:1998",
            Self::Iso724 => "ISO 724:1993",
            Self::Iso965_1 => "ISO 965-1:2013",
            Self::Iso1502 => "ISO 1502:1996",
            Self::AsmeB1_5 => "ASME B1.5-1997",
            Self::AsmeB1_8 => "ASME B1.8-1988",
            Self::AsmeB1_15 => "ASME B1.15-1995",
            Self::AsmeB1_20_1 => "ASME B1.20.1-1983",
            Self::SaeAs8879 => "SAE AS8879",
            Self::Bs84 => "BS 84:2007",
            Self::Bs93 => "BS 93:2008",
            Self::Iso228_1 => "ISO 228-1:2000",
            Self::Iso7_1 => "ISO 7-1:1994",
            Self::JisB0203 => "JIS B 0203:1999",
            Self::Iso2901 => "ISO 2901:2016",
            Self::Iso2902 => "ISO 2902:2016",
            Self::Iso2903 => "ISO 2903:1993",
            Self::Iso5855_1 => "ISO 5855-1:1999",
            Self::Gost6357 => "GOST 6357-81",
            Self::HandbookH28 => "NBS Handbook H28 (1957), part III",
            Self::CsiroTp25 => "CSIRO NSL TP 25 (1969)",
            Self::Iso16239 => "ISO 16239:2013",
            Self::Jcgm100 => "JCGM 100:2008",
            Self::Jcgm101 => "JCGM 101:2008",
            Self::Jcgm106 => "JCGM 106:2012",
            Self::Iso14253_1 => "ISO 14253-1:2017",
            Self::IlacG8 => "ILAC-G8:09/2019",
            Self::AsmeB89_7_3_1 => "ASME B89.7.3.1-2001",
            Self::Z540_3 => "ANSI/NCSL Z540.3-2006",
            Self::Iso1 => "ISO 1:2022",
            Self::Iso3611 => "ISO 3611:2010",
            Self::Jcgm200 => "JCGM 200:2012",
            Self::NistJRes99 => "J. Res. NIST 99 (1994) 31",
            Self::Callister => "Callister, Fundamentals of Materials Science, 3rd ed., 2007",
            Self::Kalpakjian => "Kalpakjian, Manufacturing Engineering and Technology, 2001",
            Self::AstmB258 => "ASTM B258",
            Self::AstmD668 => "ASTM D668-99",
            Self::Iso4292 => "ISO 4292:1985",
            Self::AsmeB17_1 => "ASME B17.1",
            Self::Ul486A => "UL 486A",
            Self::Ul486E => "UL 486E",
            Self::As7928 => "SAE AS7928 (ex MIL-T-7928)",
            Self::NasaStd8739_4 => "NASA-STD-8739.4 with Change 6",
            Self::Iec60352_2 => "IEC 60352-2:2006",
            Self::As39029 => "SAE AS39029 (ex MIL-C-39029)",
            Self::MilStd105E => "MIL-STD-105E",
            Self::TradeTable
            | Self::CrimpSheets
            | Self::Geometry
            | Self::CommonPractice
            | Self::Memory => return None,
        };
        Some(title)
    }
}

/// For developers: title or key.
impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.document().unwrap_or(self.key()))
    }
}

/// A key that is not in the bibliography: one more entry of [`Source`] is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownSource {
    pub key: String,
}

impl fmt::Display for UnknownSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is not in the bibliography (source.rs)", self.key)
    }
}

impl std::error::Error for UnknownSource {}

impl FromStr for Source {
    type Err = UnknownSource;

    /// Reads a data file's key.
    fn from_str(key: &str) -> Result<Self, UnknownSource> {
        Self::ALL
            .iter()
            .copied()
            .find(|source| source.key() == key)
            .ok_or_else(|| UnknownSource {
                key: key.to_owned(),
            })
    }
}

impl serde::Serialize for Source {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.document().unwrap_or(self.key()))
    }
}
