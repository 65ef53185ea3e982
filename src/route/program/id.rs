//! Places of what a route declares. Each kind has a type of its own, so that no vessel is looked up by the number of a bottle.

use std::fmt;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
        pub struct $name(usize);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl From<usize> for $name {
            fn from(place: usize) -> Self {
                $name(place)
            }
        }

        impl From<$name> for usize {
            fn from(id: $name) -> Self {
                id.0
            }
        }
    };
}

id! {
    /// A `let`, in the order of the route.
    LetId
}
id! {
    /// A bottle, in the order of the route.
    BottleId
}
id! {
    /// A vessel, declared or made by `->`, in the order of the route.
    VesselId
}
id! {
    /// A procedure, in the order of the route.
    ProcedureId
}

impl VesselId {
    /// The only one where there is one.
    pub const FIRST: VesselId = VesselId(0);
}
