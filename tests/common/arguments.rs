//! What tests that run the program need besides [`super::bench`].

/// Arguments of different kinds as one list.
macro_rules! arguments {
    ($($argument:expr),* $(,)?) => {
        Vec::from([$(std::ffi::OsString::from(&$argument)),*])
    };
}
