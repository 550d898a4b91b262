//! Numbers that a job states, by name: what a refusal is about. Those of a feature stand with it.

crate::codes! {
    /// A number or length of a job.
    pub enum Field "field" {
        /// Angle of a place on the part.
        PlaceAngle "place-angle",
        /// Certified size of the setting standard.
        StandardSize "standard-size",
        /// Its expanded uncertainty.
        StandardUncertainty "standard-uncertainty",
        /// Certified diameter of wires.
        WireDiameter "wire-diameter",
        /// Its expanded uncertainty.
        WireUncertainty "wire-uncertainty",
        /// Certified pitch diameter of a limit gauge.
        GaugeSize "gauge-size",
        /// Its expanded uncertainty.
        GaugeUncertainty "gauge-uncertainty",
        /// Where wear ends the life of a gauge.
        WearLimit "wear-limit",
        /// Largest error that the micrometer may have.
        MaximumPermissibleError "maximum-permissible-error",
        /// Expanded uncertainty of an error curve.
        CurveUncertainty "curve-uncertainty",
        /// Error at a point of an error curve.
        CurveError "curve-error",
        /// Periodic error of the screw.
        PeriodicError "periodic-error",
        /// One step of the display.
        Resolution "resolution",
        /// Standard deviation of one reading.
        Repeatability "repeatability",
        /// Change of the zero that is put up with.
        DriftLimit "drift-limit",
        /// What form may add where nothing was measured.
        Form "form",
        /// Flatness of a measuring face.
        Flatness "flatness",
        /// Parallelism of the measuring faces.
        Parallelism "parallelism",
        /// What a piece changes by in a year.
        YearlyDrift "yearly-drift",
        /// The laboratory's own expanded uncertainty.
        OwnUncertainty "own-uncertainty",
        /// A value approved in the place of a default.
        ApprovedValue "approved-value",
        /// A size that an approved uncertainty holds for.
        ApprovedSize "approved-size",
        /// How far a zero that was not set may be off.
        ZeroAllowance "zero-allowance",
        /// Pitches that a pair is marked for.
        PitchRange "pitch-range",
        /// How far the half angles of the contacts may be off.
        HalfAngleLimit "half-angle-limit",
        /// How far the half angles of the part may be off.
        FlankAngle "flank-angle",
        /// Radius of a sphere, point or edge.
        TipRadius "tip-radius",
        /// Width of the face that touches.
        Face "face",
        /// Thickness of a blade or disc.
        Thickness "thickness",
        /// Measuring force.
        Force "force",
        Reading "reading",
        Temperature "temperature",
        /// Standard uncertainty of the temperatures.
        TemperatureUncertainty "temperature-uncertainty",
        /// Vickers hardness of the part.
        Hardness "hardness",
        /// How far the plane of a taper thread may lie from where it is stated.
        PlaneWithin "plane-within",
    }
}

crate::codes! {
    /// What would be right in the place of a number.
    pub enum Right "right" {
        /// An angle in degrees.
        Degrees "degrees",
        /// An area in square millimetres.
        SquareMillimetres "square-millimetres",
        /// A width in millimetres.
        Millimetres "millimetres",
        /// A ratio in percent.
        Compression "compression",
        /// Minutes of arc, of contacts.
        ContactMinutes "contact-minutes",
        /// Minutes of arc, of flanks.
        FlankMinutes "flank-minutes",
        /// Newtons over wires.
        Newtons "newtons",
        /// Newtons of doubt.
        PullNewtons "pull-newtons",
        /// A temperature in degrees Celsius.
        Celsius "celsius",
        /// A doubt in kelvins.
        Kelvins "kelvins",
        /// A slope in degrees.
        WallDegrees "wall-degrees",
        /// Megapascals.
        Megapascals "megapascals",
        /// Vickers hardness.
        Vickers "vickers",
        Fraction "fraction",
        /// A dwell in seconds.
        Seconds "seconds",
        /// Kilopascals.
        Kilopascals "kilopascals",
        /// Percent.
        Percent "percent",
    }
}
