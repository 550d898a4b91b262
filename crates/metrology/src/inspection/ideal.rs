//! The contacts one would want.

crate::messages! {
    /// For threads, and for what is round. What one would want for one feature alone stands with it.
    pub enum Ideal "ideal" {
        /// For an internal thread.
        ThreadGauges "thread-gauges",
        /// For an external thread.
        VAndCone "v-and-cone" { angle: f64 as number, pitch: f64 as Length },
        /// For what is round or flat.
        FlatFaces "flat-faces",
    }
}
