//! How much memory the program holds.

/// Memory that is really there, bytes; `None` where the system does not tell (it does on Linux: proc(5), `/proc/pid/statm`, second number, pages).
pub(crate) fn resident() -> Option<u64> {
    // All Linux systems this runs on have pages of 4096 bytes; larger ones would only make the bound stricter.
    let text = std::fs::read_to_string("/proc/self/statm").ok()?;
    Some(text.split(' ').nth(1)?.parse::<u64>().ok()? * 4096)
}

/// What the allocator may take at once without any of it being kept.
pub(crate) const SLACK: u64 = 8_000_000;

/// Stops with a message when more memory is held than before by more than this.
pub(crate) fn assert_grown_by_at_most(most: u64, before: Option<u64>, what: &str) {
    if let Some((before, now)) = before.zip(resident()) {
        let grown = now.saturating_sub(before);
        assert!(
            grown <= most,
            "{grown} bytes more for {what}, at most {most}"
        );
    }
}
