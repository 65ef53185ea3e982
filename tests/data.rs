//! Every row of every embedded table: readable, with a unit, with a source, in agreement with its formula.

use std::collections::BTreeSet;

use aludel::data::{self, How, Row, TABLES};
use aludel::matter::Species;

fn rows() -> impl Iterator<Item = Row> {
    TABLES.iter().flat_map(|table| table.rows())
}

#[test]
fn every_row_has_as_many_cells_as_there_are_columns() {
    for row in rows() {
        let columns = row.table().columns().len();
        assert_eq!(row.cells().count(), columns, "{}", row.line());
        assert_eq!(row.line().matches('"').count() % 2, 0, "{}", row.line());
        assert!(!row.line().contains("\"\""), "{}", row.line());
    }
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
        "n_H2O",
        "mass_fraction",
        "water_activity",
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
    for row in rows().filter(|row| row.table().name() != "sources.csv") {
        let columns = row.table().columns().iter();
        let sources = columns.filter(|name| name.ends_with("source"));
        for (count, column) in sources.enumerate() {
            let code = row.cell(column);
            assert!(count > 0 || !code.is_empty(), "{}", row.line());
            assert!(
                code.is_empty() || data::publication(code).is_some(),
                "{code}: {}",
                row.line()
            );
            used.insert(code);
        }
    }
    for row in data::SOURCES.rows() {
        let source = data::publication(row.cell("code")).expect("a row that can be read");
        assert!(!source.citation.is_empty());
        let needed = used.contains(source.code) || source.how == How::Given;
        assert!(needed, "{} is not the source of any row", source.code);
    }
}

/// A value and its source stand or fall together.
#[test]
fn every_formation_value_names_its_own_source() {
    for row in data::FORMATION.rows().chain(data::FORMATION_MORE.rows()) {
        for (value, source) in [
            ("dfH_kJ_mol", "dfH_source"),
            ("dfG_kJ_mol", "dfG_source"),
            ("S_J_mol_K", "S_source"),
            ("Cp_J_mol_K", "Cp_source"),
        ] {
            let both = (row.filled(value).is_some(), row.filled(source).is_some());
            assert_eq!(both.0, both.1, "{}", row.line());
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
    for row in rows() {
        if !row.table().columns().contains(&"molar_mass_g_mol") {
            continue;
        }
        let printed = row
            .float("molar_mass_g_mol")
            .expect("a molar mass in each row");
        let ours = Species::parse(row.cell("formula"))
            .unwrap()
            .molar_mass()
            .to_f64();
        assert!(
            (ours / printed - 1.0).abs() < 1e-3,
            "{ours}: {}",
            row.line()
        );
        compared += 1;
    }
    assert!(compared > 7000);
}

#[test]
fn every_formula_and_phase_has_one_default_form() {
    for row in data::FORMATION.rows().chain(data::FORMATION_MORE.rows()) {
        let same = row.table().find(row.cell("formula"));
        let defaults = same.filter(|other| {
            other.cell("phase") == row.cell("phase") && other.cell("default") == "y"
        });
        assert_eq!(defaults.count(), 1, "{}", row.line());
    }
}

/// Ions of an electrolyte add up to its formula: atoms exactly, charge to zero.
#[test]
fn electrolytes_are_the_sum_of_their_ions() {
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
        assert_eq!((charge, &mass), (0, whole.molar_mass()), "{}", row.line());
    }
}

/// Solubilities run over temperatures in order, and the solid ranges of a salt join without gap or overlap.
#[test]
fn solubility_tables_are_in_order() {
    for row in data::SOLID_PHASE.rows() {
        let ranges: Vec<_> = data::SOLID_PHASE.find(row.cell("formula")).collect();
        for pair in ranges.windows(2) {
            assert_eq!(
                pair[0].cell("t_max_C"),
                pair[1].cell("t_min_C"),
                "{}",
                row.line()
            );
            assert!(!pair[0].cell("t_max_C").is_empty());
        }
    }
    for row in data::SOLUBILITY.rows() {
        let all = data::SOLUBILITY.find(row.cell("formula"));
        let temperatures: Vec<f64> = all.filter_map(|row| row.float("t_C")).collect();
        assert!(temperatures.is_sorted_by(|a, b| a < b), "{}", row.line());
        assert!(data::SOLID_PHASE.find(row.cell("formula")).next().is_some());
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
    for table in TABLES {
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
