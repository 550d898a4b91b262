use metrology::units::Angle;
use metrology::wires::*;

#[test]
fn exact_contact_of_three_wires() {
    let mut rows = csv::Reader::from_reader(&include_bytes!("wire_exact_contact.csv")[..]);
    let mut n = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let v: Vec<f64> = (0..7).map(|i| row[i].parse().unwrap()).collect();
        let groove = Groove::symmetric(Side::External, Angle::from_degrees(v[0]), v[1], v[2]);
        let seat_ = seat(&groove, Feeler::Wire, v[3], v[4]).unwrap();
        let m = 2.0 * seat_.centre_radius_mm + v[4];
        println!("{:e} {:?}", m - v[5], seat_);
        assert!((m - v[5]).abs() < 1e-13 * v[5]);
        let back = seat_from_centre(&groove, Feeler::Wire, seat_.centre_radius_mm, v[4]).unwrap();
        println!("back {:e}", back.pitch_diameter_mm - v[3]);
        n += 1;
    }
    assert_eq!(n, 8);
}
