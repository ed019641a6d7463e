//! Values given at a few places and running straight between them.

/// The value at a place: straight between the two stations around it, level beyond the first and the last. Stations are in rising order; of
/// two at one place the later one counts from there on. `None` without stations.
pub(super) fn value_between<T>(
    stations: &[T],
    at: f64,
    place_and_value: impl Fn(&T) -> (f64, f64),
) -> Option<f64> {
    let after = stations.partition_point(|s| place_and_value(s).0 <= at);
    let before = after.checked_sub(1).and_then(|i| stations.get(i));
    match (before, stations.get(after)) {
        (Some(a), Some(b)) => {
            let ((xa, va), (xb, vb)) = (place_and_value(a), place_and_value(b));
            Some(va + (vb - va) * (at - xa) / (xb - xa))
        }
        (Some(only), None) | (None, Some(only)) => Some(place_and_value(only).1),
        (None, None) => None,
    }
}
