//! How much memory the program holds.

/// Memory that is really there, bytes; `None` where the system does not tell (it does on Linux: proc(5), `/proc/pid/statm`, second number, pages).
pub(crate) fn resident() -> Option<u64> {
    // All Linux systems this runs on have pages of 4096 bytes; larger ones would only make the bound stricter.
    let text = std::fs::read_to_string("/proc/self/statm").ok()?;
    Some(text.split(' ').nth(1)?.parse::<u64>().ok()? * 4096)
}
