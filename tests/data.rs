//! Every row of every embedded table: readable, with a unit, with a source, in agreement with its formula.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

mod common;

use std::collections::BTreeSet;
use std::path::PathBuf;

use aludel::data::{self, How, Row, TABLES, TEXTBOOK_TABLES};
use aludel::equation::identity;
use aludel::equation::ionic::{dissociate, in_water};
use aludel::hazard::tables::TABLES as SAFETY_TABLES;
use aludel::hazard::{self, Form};
use aludel::matter::Species;
use aludel::number::{Exact, Number};
use aludel::{solution, thermo};
use common::faults::Faults;

fn rows() -> impl Iterator<Item = Row> {
    TABLES.iter().flat_map(|table| table.rows())
}

/// The tables as they were laid out for the program, against their files as the `csv` crate reads them.
#[test]
fn every_cell_is_where_the_file_has_it() {
    let mut faults = Faults::default();
    let mut cells = 0;
    let all = TABLES.iter().chain(TEXTBOOK_TABLES).chain(SAFETY_TABLES);
    for table in all {
        let mut file = PathBuf::from("src/data").join(table.name());
        if !file.exists() {
            file = PathBuf::from("src/data/safety").join(table.name());
        }
        let mut reader = csv::ReaderBuilder::new();
        let mut reader = reader.comment(Some(b'#')).from_path(&file).unwrap();
        assert_eq!(reader.headers().unwrap(), table.columns().to_vec());
        let read: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(read.len(), table.rows().count(), "{}", table.name());
        for (row, record) in table.rows().zip(&read) {
            faults.unless(row.cells().eq(record), row);
            let first = row.cells().next().unwrap();
            let same = read.iter().enumerate().filter(|(_, r)| &r[0] == first);
            let found = table.find(first).map(|row| row.number() as usize);
            faults.unless(found.eq(same.map(|(number, _)| number)), row);
            cells += record.len();
        }
        for missing in ["", "~", "Xx"] {
            let listed = read.iter().any(|record| &record[0] == missing);
            assert!(listed || table.find(missing).next().is_none());
        }
    }
    assert!(cells > 200_000, "{cells}");
}

/// A column of numbers says its unit in its name, or is a pure number by nature.
#[test]
fn every_column_of_numbers_names_its_unit() {
    let pure = [
        "z",
        "model_points",
        "density_points",
        "cp_points",
        "electrons",
        "first_numbers",
        "second_numbers",
        "opposite_numbers",
        "n_H2O",
        "mass_fraction",
        "water_activity",
        "pKsp",
        "mass_fraction_min",
        "mass_fraction_max",
        "density_w_max",
        "cp_w_max",
        "janaf_deviation_percent",
        "check_mole_fraction",
    ];
    // Coefficients of equations, whose units stand in the head of the file; relative atomic weights likewise.
    let described = |name: &str| {
        let coefficient = name.len() == 2 && name.as_bytes()[1].is_ascii_digit();
        coefficient || ["weight", "uncertainty", "lower", "upper"].contains(&name)
    };
    let units = [
        "_mol", "_K", "_C", "_cm3", "_mL", "_g", "_V", "_kPa", "_m3", "_100g", "_m3Pa", "_mol_kg",
    ];
    for table in TABLES {
        for (at, column) in table.columns().iter().enumerate() {
            let numbers = table.rows().filter_map(|row| row.cells().nth(at));
            let mut filled = numbers.filter(|cell| !cell.is_empty()).peekable();
            let numeric = filled.peek().is_some() && filled.all(|cell| cell.parse::<f64>().is_ok());
            let named = pure.contains(column)
                || described(column)
                || units.iter().any(|unit| column.ends_with(unit));
            assert!(!numeric || named, "{}: {column}", table.name());
        }
    }
}

#[test]
fn every_row_names_a_source_that_is_listed() {
    let mut used = BTreeSet::new();
    let mut faults = Faults::default();
    for row in rows().filter(|row| row.table().name() != "sources.csv") {
        let columns = row.table().columns().iter();
        let sources = columns.filter(|name| name.ends_with("source"));
        for (count, column) in sources.enumerate() {
            let code = row.cell(column);
            faults.unless(count > 0 || !code.is_empty(), row);
            let listed = code.is_empty() || data::publication(code).is_some();
            faults.unless(listed, format!("{code}: {row}"));
            used.insert(code);
        }
    }
    for row in data::SOURCES.rows() {
        let source = data::publication(row.cell("code")).expect("a row that can be read");
        assert!(!source.citation.is_empty());
        let needed = used.contains(source.code) || source.how == How::Given;
        faults.unless(needed, format!("{} is not used", source.code));
    }
}

/// A value and its source stand or fall together.
#[test]
fn every_formation_value_names_its_own_source() {
    let mut faults = Faults::default();
    for row in data::FORMATION.rows().chain(data::FORMATION_MORE.rows()) {
        for (value, source) in [
            ("dfH_kJ_mol", "dfH_source"),
            ("dfG_kJ_mol", "dfG_source"),
            ("S_J_mol_K", "S_source"),
            ("Cp_J_mol_K", "Cp_source"),
        ] {
            let both = (row.filled(value).is_some(), row.filled(source).is_some());
            faults.unless(both.0 == both.1, row);
        }
    }
}

#[test]
fn every_formula_can_be_read_and_is_written_as_the_program_writes_it() {
    let mut wrong = Vec::new();
    for row in rows() {
        for column in ["formula", "alternatives", "solid"] {
            if !row.table().columns().contains(&column) || row.cell(column).is_empty() {
                continue;
            }
            let text = row.cell(column);
            let plain = Species::parse(text).map(|species| species.plain().to_owned());
            if plain.as_deref() != Ok(text) {
                wrong.push((row.table().name(), text, plain));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The molar mass printed in a source against the composition of the formula: catches a formula misread anywhere on
/// the way from the publication. The NBS tables use the atomic weights of their time; 0.1 % covers the changes since.
#[test]
fn printed_molar_masses_agree_with_the_formulas() {
    let mut compared = 0;
    let mut faults = Faults::default();
    for row in rows() {
        if !row.table().columns().contains(&"molar_mass_g_mol") {
            continue;
        }
        let ours = Species::parse(row.cell("formula")).map(|read| read.molar_mass().to_f64());
        let agrees = |printed: f64, ours: f64| (ours / printed - 1.0).abs() < 1e-3;
        let printed = row.float("molar_mass_g_mol");
        let well = printed.zip(ours.ok()).is_some_and(|(p, o)| agrees(p, o));
        faults.unless(well, row);
        compared += 1;
    }
    assert!(compared > 7000);
}

#[test]
fn every_formula_and_phase_has_one_default_form() {
    let mut faults = Faults::default();
    for row in data::FORMATION.rows().chain(data::FORMATION_MORE.rows()) {
        let same = row.table().find(row.cell("formula"));
        let defaults = same.filter(|other| {
            other.cell("phase") == row.cell("phase") && other.cell("default") == "y"
        });
        faults.unless(defaults.count() == 1, row);
    }
}

/// Ions of an electrolyte add up to its formula: atoms exactly, charge to zero.
#[test]
fn electrolytes_are_the_sum_of_their_ions() {
    let mut faults = Faults::default();
    for row in data::LALIBERTE
        .rows()
        .filter(|row| !row.cell("ions").is_empty())
    {
        let whole = Species::parse(row.cell("formula")).unwrap();
        let mut charge = 0;
        let mut mass = aludel::number::Exact::zero();
        for term in row.cell("ions").split(" + ") {
            let (count, ion) = term.split_once(' ').unwrap_or(("1", term));
            let count: i64 = count.parse().unwrap();
            let ion = Species::parse(ion).unwrap();
            charge += count * ion.charge();
            mass += &(aludel::number::Exact::from(count) * ion.molar_mass());
        }
        faults.unless((charge, &mass) == (0, whole.molar_mass()), row);
    }
}

/// Solubilities run over temperatures in order, and the solid ranges of a salt join without gap or overlap.
#[test]
fn solubility_tables_are_in_order() {
    let mut faults = Faults::default();
    for row in data::SOLID_PHASE.rows() {
        let ranges: Vec<_> = data::SOLID_PHASE.find(row.cell("formula")).collect();
        let joined = |pair: &[Row]| {
            let (end, start) = (pair[0].filled("t_max_C"), pair[1].filled("t_min_C"));
            end.is_some() && end == start
        };
        faults.unless(ranges.windows(2).all(joined), row);
    }
    for row in data::SOLUBILITY.rows() {
        let all = data::SOLUBILITY.find(row.cell("formula"));
        let temperatures: Vec<f64> = all.filter_map(|row| row.float("t_C")).collect();
        faults.unless(temperatures.is_sorted_by(|a, b| a < b), row);
        let solid = data::SOLID_PHASE.find(row.cell("formula")).next();
        faults.unless(solid.is_some(), row);
    }
}

/// The ions and forms that take a formula apart can be read, and each row names where it comes from.
#[test]
fn every_row_of_the_textbook_tables_can_be_read() {
    let mut faults = Faults::default();
    for row in TEXTBOOK_TABLES.iter().flat_map(|table| table.rows()) {
        let first = row.cells().next().unwrap();
        let element = row.table().name() == "oxidation.csv";
        faults.unless(element || Species::parse(first).is_ok(), row);
        faults.unless(row.filled("source").is_some(), row);
    }
}

/// docs/sources.md lists every table with its number of rows and every publication as the tables have them.
#[test]
fn the_page_of_sources_is_complete() {
    let page = include_str!("../docs/sources.md");
    for row in data::SOURCES.rows() {
        let [code, how, citation, access] =
            ["code", "how", "citation", "access"].map(|c| row.cell(c));
        let line = format!("| {code} | {how} | {citation} | {access} |");
        assert!(page.contains(&line), "missing or changed: {line}");
    }
    let listed = TEXTBOOK_TABLES
        .iter()
        .filter(|table| table.name() != "oxidation.csv");
    for table in TABLES.iter().chain(listed) {
        let line = page
            .lines()
            .find(|line| line.starts_with(&format!("| `{}`", table.name())));
        let rows = format!("| {} |", table.rows().count());
        assert!(
            line.is_some_and(|line| line.ends_with(&rows)),
            "{} has {rows}",
            table.name()
        );
    }
}

/// Each row is found under the identity of its formula, so that no spelling misses it. The ions of a salt have the
/// spelling of their table throughout.
#[test]
fn every_row_is_found_under_the_identity_of_its_formula() {
    let mut faults = Faults::default();
    let own_spelling = ["ions.csv", "solubility_rules.csv", "oxidation.csv"];
    let tables = TABLES.iter().chain(TEXTBOOK_TABLES).chain(SAFETY_TABLES);
    for row in tables.flat_map(|table| table.rows()) {
        let table = row.table();
        if table.columns()[0] != "formula" || own_spelling.contains(&table.name()) {
            continue;
        }
        let formula = row.cell("formula");
        // Water glass has no formula and is found by its name.
        if formula.is_empty() {
            continue;
        }
        let found = Species::parse(formula).is_ok_and(|species| {
            let key = identity(&species);
            species.phase().is_none()
                && table
                    .find(key.key())
                    .any(|other| other.number() == row.number())
        });
        faults.unless(found, row);
    }
}

/// A spelling means one substance: the formula is listed, the spelling is not, and both have the same atoms and charge.
#[test]
fn every_spelling_means_the_same_atoms() {
    let mut faults = Faults::default();
    let alternatives = data::FORMATION.rows().chain(data::FORMATION_MORE.rows());
    let alternatives = alternatives.filter_map(|row| Some((row.filled("alternatives")?, row)));
    let own = data::SPELLING.rows().map(|row| (row.cell("spelling"), row));
    for (spelling, row) in own.chain(alternatives) {
        let [spelled, meant] = [spelling, row.cell("formula")].map(Species::parse);
        let same = spelled.is_ok_and(|spelled| {
            meant.is_ok_and(|meant| {
                let atoms = spelled.composition() == meant.composition();
                atoms && spelled.charge() == meant.charge() && identity(&spelled) == meant
            })
        });
        let elsewhere = TABLES.iter().chain(SAFETY_TABLES);
        let listed = elsewhere
            .clone()
            .any(|table| table.find(row.cell("formula")).next().is_some());
        faults.unless(same && listed, row);
    }
}

/// Formation, water, solubility, density and hazards of a substance do not depend on who spells it. IUPAC Red Book 2005,
/// table IR-8.1, for the acids; the complexes by their formulas with and without square brackets.
#[test]
fn one_substance_has_one_set_of_data_however_it_is_spelled() {
    let pairs = [
        ("HC2H3O2", "CH3COOH"),
        ("CH3CO2H", "CH3COOH"),
        ("NaC2H3O2", "CH3COONa"),
        ("Pb(C2H3O2)2·3H2O", "Pb(CH3COO)2·3H2O"),
        ("AlO3H3", "Al(OH)3"),
        ("MgO2H2", "Mg(OH)2"),
        ("SO4H2", "H2SO4"),
        ("K4Fe(CN)6·3H2O", "K4[Fe(CN)6]·3H2O"),
        ("K4Fe(CN)6", "K4[Fe(CN)6]"),
        ("K3Fe(CN)6", "K3[Fe(CN)6]"),
        ("K2PtCl6", "K2[PtCl6]"),
        ("Cu(NH3)4SO4", "[Cu(NH3)4]SO4"),
        ("(CH3)2CO", "CH3COCH3"),
        ("CH3CH2OH", "C2H5OH"),
        ("HOCl", "HClO"),
        ("B(OH)3", "H3BO3"),
        ("C6H5CO2H", "C6H5COOH"),
    ];
    let mut faults = Faults::default();
    let store = data::Store::default();
    let room = Number::exact(Exact::ratio(29315, 100));
    let tenth = Number::exact(Exact::ratio(1, 10));
    for (spelled, listed) in pairs {
        let [one, other] = [spelled, listed].map(|text| Species::parse(text).unwrap());
        let mut same = |what: &str, well: bool| faults.unless(well, format!("{what} of {spelled}"));
        same("identity", identity(&one) == identity(&other));
        same("ions", dissociate(&one) == dissociate(&other));
        let (in_one, in_other) = (in_water(&one), in_water(&other));
        same("form in water", in_one == in_other);
        let enthalpy = |species: &Species| {
            let found = thermo::standard(&store, species).ok()?;
            let enthalpy = found.get(data::Property::FormationEnthalpy)?;
            Some(enthalpy.value.number().to_f64())
        };
        same("enthalpy", enthalpy(&one) == enthalpy(&other));
        let soluble = |species| solution::solubility(species, &room);
        same("solubility", soluble(&one) == soluble(&other));
        let density = |species| solution::density(species, &tenth, &room).ok();
        same("density", density(&one) == density(&other));
        let cautions = |species| hazard::cautions_for(species, Form::Pure, None);
        same("cautions", cautions(&one) == cautions(&other));
        let waste = |species| {
            hazard::disposal(species)
                .iter()
                .map(|row| row.waste())
                .collect::<Vec<_>>()
        };
        same("waste", waste(&one) == waste(&other));
    }
    let ferrocyanide = Species::parse("K4Fe(CN)6").unwrap();
    let found = solution::solubility(&ferrocyanide, &room).unwrap();
    same_as_printed(&found.value.grams_per_100_g_water, 28.2);
}

/// CRC Handbook, solubility of inorganic compounds: 28.2 g of K4[Fe(CN)6] to 100 g of water at 20 °C.
#[track_caller]
fn same_as_printed(found: &Number, printed: f64) {
    assert!((found.to_f64() - printed).abs() < 1e-6, "{found:?}");
}

/// Isomers share a composition, so that alone decides nothing: fulminate and cyanate, ethanol and dimethyl ether, nitric
/// and peroxynitrous acid, hyponitrous acid and nitramide.
#[test]
fn no_isomer_is_taken_for_another() {
    for text in [
        "AgCNO", "C2H6O", "C3H8O", "HOONO", "NH2NO2", "C4H10O", "KNCO2",
    ] {
        let species = Species::parse(text).unwrap();
        assert_eq!(identity(&species).key(), text);
    }
}
