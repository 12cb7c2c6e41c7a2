//! How a block of result.json is written down: its keys in their order, each with its type and where it comes from.

/// Blocks of result.json: `struct Name of (arguments) { key: type = value, ... }`. What several values need is set before them, behind `with`.
///
/// Each becomes a type that serde writes, made by `Name::of`. docs/result.schema.json is drawn from these types: a comment on a key is its description there,
/// and a key without one has the description of its name (`schema.rs`). A figure that need not be finite is left out then: it is drawn as `Option<f64>`.
macro_rules! block {
    ($($(#[$about:meta])* struct $name:ident of ($($arg:ident: $of:ty),*) $(with { $($shared:tt)* })? {
        $($(#[$told:meta])* $key:ident: $type:ty = $value:expr,)+
    })+) => {
        $(
            $(#[$about])*
            #[derive(Debug, Clone, serde::Serialize)]
            #[cfg_attr(test, derive(schemars::JsonSchema))]
            pub(in super) struct $name {
                $($(#[$told])* pub(in super) $key: $type,)+
            }

            impl $name {
                pub(in super) fn of($($arg: $of),*) -> Self {
                    $($($shared)*)?
                    Self { $($key: $value,)+ }
                }
            }
        )+
    };
}
pub(super) use block;
