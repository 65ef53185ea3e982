//! The schemas of docs/*.schema.json, made from the types that are printed.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};

use super::balance::{AnswerJson, LineJson};
use super::{RouteJson, ScaleJson};
use crate::report::heat_json::HeatJson;

/// The JSON Schema (draft 2020-12) of what a type prints.
fn schema<T: JsonSchema>() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    settings.into_generator().into_root_schema_for::<T>()
}

/// The schemas of the reports, by the name of their file in docs.
pub fn schemas() -> [(&'static str, Schema); 5] {
    [
        ("balance", schema::<AnswerJson<'_>>()),
        ("batch", schema::<LineJson<'_>>()),
        ("heat", schema::<HeatJson>()),
        ("scale", schema::<ScaleJson>()),
        ("sheet", schema::<RouteJson>()),
    ]
}
