//! The safety tables, read on demand. They stand apart from the measured data: a row is advice, not a value.

use crate::data::{Encoded, Table, tables};

tables! {
    /// Every safety table.
    TABLES:
    /// Classification by substance, form and band of strength.
    GHS = "ghs.csv";
    /// Hazard statements by code.
    STATEMENTS = "h_statements.csv";
    /// Protective measures by hazard class.
    ADVICE = "p_advice.csv";
    /// Gases and vapours.
    GASES = "gases.csv";
    /// Groups of substances that behave alike.
    GROUPS = "groups.csv";
    /// Pairs that must not meet, or only as a planned step.
    PAIRS = "incompatible.csv";
    /// Waste practice for small amounts.
    DISPOSAL = "disposal.csv";
    /// Limits that can be checked by number.
    RULES = "rules_of_thumb.csv";
    /// Generic limits from which the bands of strength were computed.
    MIXTURE_LIMITS = "mixture_limits.csv";
}
