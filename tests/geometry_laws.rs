//! Laws of the geometry room: what its indexes, gaps, crossing searches and arc fits promise, against brute force on fine
//! polylines, the `geo` library, closed forms, and cases made by hand.

#[path = "geometry_laws/arc_fits.rs"]
mod arc_fits;
#[path = "geometry_laws/chains.rs"]
mod chains;
#[path = "geometry_laws/cuts.rs"]
mod cuts;
#[path = "geometry_laws/faults.rs"]
mod faults;
#[path = "geometry_laws/gaps.rs"]
mod gaps;
#[path = "geometry_laws/meetings.rs"]
mod meetings;
#[path = "geometry_laws/shapes.rs"]
mod shapes;
