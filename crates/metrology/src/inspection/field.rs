//! Numbers that a job states, by name: what a refusal is about.

crate::codes! {
    /// A number or length of a job.
    pub enum Field "field" {
        /// Angle of a place on the part.
        PlaceAngle "place-angle",
        /// Area of a crimp in section after crimping.
        AreaAfter "area-after",
        /// Area of the barrel before crimping.
        BarrelArea "barrel-area",
        /// Area of the conductor before crimping.
        ConductorArea "conductor-area",
        /// Width of a crimp.
        CrimpWidth "crimp-width",
        /// Limit of a compression ratio.
        CompressionLimit "compression-limit",
        /// Certified size of the setting standard.
        StandardSize "standard-size",
        /// Its expanded uncertainty.
        StandardUncertainty "standard-uncertainty",
        /// Certified diameter of wires.
        WireDiameter "wire-diameter",
        /// Its expanded uncertainty.
        WireUncertainty "wire-uncertainty",
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
        /// A reading.
        Reading "reading",
        /// A temperature.
        Temperature "temperature",
        /// Standard uncertainty of the temperatures.
        TemperatureUncertainty "temperature-uncertainty",
        /// Inside diameter.
        Bore "bore",
        /// Outside diameter.
        OutsideDiameter "outside-diameter",
        /// Its uncertainty.
        OutsideDiameterUncertainty "outside-diameter-uncertainty",
        /// Width of a groove.
        GrooveWidth "groove-width",
        /// Depth of a groove.
        GrooveDepth "groove-depth",
        /// Radius where walls meet floor.
        RootRadius "root-radius",
        /// Slope of a wall from square.
        WallAngle "wall-angle",
        /// Diameter of the land beside a groove.
        LandDiameter "land-diameter",
        /// Thickness of a disc that the size is reckoned with.
        DiscThickness "disc-thickness",
        /// Its uncertainty.
        DiscUncertainty "disc-uncertainty",
        /// Diameter of the shaft at a keyseat.
        ShaftDiameter "shaft-diameter",
        /// Its uncertainty.
        ShaftDiameterUncertainty "shaft-diameter-uncertainty",
        /// Width of a keyseat.
        SeatWidth "seat-width",
        /// Its uncertainty.
        SeatWidthUncertainty "seat-width-uncertainty",
        /// Young's modulus of soft material.
        Modulus "modulus",
        /// How far that may be off.
        ModulusLimit "modulus-limit",
        /// Seconds between closing and reading.
        Dwell "dwell",
        /// Pressure that the standard for the material states.
        Pressure "pressure",
        /// How far the reading still falls.
        Creep "creep",
        /// Limit of a percentage.
        PercentLimit "percent-limit",
        /// Standard uncertainty of a pull force.
        PullUncertainty "pull-uncertainty",
        /// Vickers hardness of the part.
        Hardness "hardness",
        /// How far the plane of a taper thread may lie from where it is stated.
        PlaneWithin "plane-within",
        /// Largest permitted ovality.
        OvalityLimit "ovality-limit",
        /// Largest permitted taper.
        TaperLimit "taper-limit",
        /// Largest permitted barrel.
        BarrelLimit "barrel-limit",
        /// Largest permitted run-out.
        RunOutLimit "run-out-limit",
        /// Largest permitted eccentricity.
        EccentricityLimit "eccentricity-limit",
        /// Largest permitted departure from roundness.
        RoundnessLimit "roundness-limit",
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
        /// A fraction.
        Fraction "fraction",
        /// A dwell in seconds.
        Seconds "seconds",
        /// Kilopascals.
        Kilopascals "kilopascals",
        /// Percent.
        Percent "percent",
    }
}
