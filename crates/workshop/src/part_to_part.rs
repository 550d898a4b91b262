//! What of a measurement is another for each part, and so adds to the spread of many.

use metrology::inspection::Quantity;

/// Whether a quantity is drawn anew for each part: what its own readings show. Parts of a lot share a zero; parts that were
/// measured one by one have each its own. Of form that was not measured only a limit is known, which no spread shows: it is
/// not taken out of one.
pub const fn varies(quantity: Quantity, in_lot: bool) -> bool {
    match quantity {
        Quantity::Repeatability | Quantity::FormSeen | Quantity::Resolution => true,
        Quantity::ZeroReading | Quantity::ZeroResolution | Quantity::Drift => !in_lot,
        _ => false,
    }
}
