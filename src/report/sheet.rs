//! The bench sheet as text for a terminal or a printer, 80 columns.
//!
//! The order is that of use: cautions, what to measure out, the steps, the product, expectations, waste, sources.

use unicode_width::UnicodeWidthStr;

use crate::diagnostic;
use crate::hazard;
use crate::matter::{Notation, Phase};
use crate::number::Number;
use crate::route::ledger::*;

use super::figure;

/// Columns of a sheet.
pub const WIDTH: usize = 80;

/// How to write it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Style {
    /// For formulas and arrows.
    pub notation: Notation,
}

/// The whole sheet.
pub fn sheet(ledger: &Ledger, style: Style) -> String {
    let mut page = Page {
        style,
        ..Page::default()
    };
    page.heading(ledger.title.as_deref().unwrap_or("Untitled route"));
    page.cautions(ledger);
    page.measure_out(ledger);
    page.steps(ledger);
    page.product(ledger);
    page.answers(ledger);
    for table in &ledger.scales {
        page.scale(table);
    }
    page.remarks(ledger);
    page.waste(ledger);
    page.sources(ledger);
    page.text
}

/// The answers of `show` and `expect` alone, as the prompt prints them.
pub fn answers(shows: &[Shown], expectations: &[Expectation], style: Style) -> String {
    let mut page = Page {
        style,
        ..Page::default()
    };
    page.shows(shows);
    page.expectations(expectations);
    page.text
}

/// The answers of `yield` alone, as the prompt prints them.
pub fn yields(yields: &[YieldRecord], style: Style) -> String {
    let mut page = Page {
        style,
        ..Page::default()
    };
    page.product(&Ledger {
        yields: yields.to_vec(),
        ..Ledger::default()
    });
    page.text
}

/// The table of a `scale` alone.
pub fn scale(table: &ScaleTable, style: Style) -> String {
    let mut page = Page {
        style,
        ..Page::default()
    };
    page.scale(table);
    page.text
}

/// What one operation did, as the prompt prints it.
pub fn operation(record: &OperationRecord, style: Style) -> String {
    let mut page = Page {
        style,
        ..Page::default()
    };
    page.operation(record);
    page.text
}

#[derive(Default)]
struct Page {
    text: String,
    style: Style,
}

impl Page {
    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Text broken at blanks, later lines indented like the first plus `hang`.
    fn wrapped(&mut self, indent: usize, hang: usize, text: &str) {
        let mut line = " ".repeat(indent);
        let mut empty = true;
        for word in text.split_whitespace() {
            if !empty && line.width() + 1 + word.width() > WIDTH {
                self.line(&line);
                line = " ".repeat(indent + hang);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        if !empty {
            self.line(&line);
        }
    }

    fn heading(&mut self, title: &str) {
        self.wrapped(0, 0, title);
        self.line(&"=".repeat(title.width().min(WIDTH)));
    }

    fn section(&mut self, title: &str) {
        self.line("");
        self.line(title);
        self.line(&"-".repeat(title.width().min(WIDTH)));
    }

    /// Rows with aligned columns; the last column is wrapped under itself.
    fn rows(&mut self, indent: usize, rows: &[Vec<String>]) {
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        let width = |c: usize| {
            rows.iter()
                .filter_map(|r| r.get(c))
                .map(|t| t.width())
                .max()
                .unwrap_or(0)
        };
        for row in rows {
            let mut line = " ".repeat(indent);
            for (column, cell) in row.iter().enumerate() {
                if column + 1 == columns && column > 0 {
                    break;
                }
                let pad = width(column).saturating_sub(cell.width());
                if is_figure(cell) {
                    line.extend(std::iter::repeat_n(' ', pad));
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.extend(std::iter::repeat_n(' ', pad));
                }
                line.push_str("  ");
            }
            let last = if row.len() == columns && columns > 1 {
                row.last()
            } else {
                None
            };
            let at = line.width();
            match last {
                Some(last) if at + last.width() > WIDTH => {
                    let mut lines = Page {
                        style: self.style,
                        ..Page::default()
                    };
                    lines.wrapped(at, 0, last);
                    let body = lines.text.trim_start().to_owned();
                    self.line(&(line + &body));
                }
                Some(last) => self.line(&(line + last)),
                None => self.line(&line),
            }
        }
    }

    fn formula(&self, species: &crate::matter::Species) -> String {
        species.to_text(self.style.notation)
    }

    fn bare(&self, species: &crate::matter::Species) -> String {
        species.with_phase(None).to_text(self.style.notation)
    }

    fn cautions(&mut self, ledger: &Ledger) {
        self.section("Cautions");
        for (weight, fact) in hazards(ledger) {
            let mark = if weight == Weight::Note { "-" } else { "!" };
            self.wrapped(2, 2, &format!("{mark} {fact}"));
        }
        self.substances(ledger);
        self.gases(ledger);
        self.wrapped(
            2,
            0,
            "Whether contents that meet are incompatible is not checked. This sheet does not replace the suppliers' safety data sheets, a risk assessment of your own, local \
             codes or licensed practice. What it does not name is not thereby safe.",
        );
    }

    /// The hazard statements of what is measured out, at its strength.
    fn substances(&mut self, ledger: &Ledger) {
        let mut told: Vec<String> = Vec::new();
        for draw in &ledger.draws {
            let name = self.named(draw);
            if draw.substance.key() == "H2O" || told.contains(&name) {
                continue;
            }
            self.wrapped(2, 4, &format!("{name}: {}", statements(draw)));
            told.push(name);
        }
    }

    /// What comes off, with the air that takes it below a quarter of its explosive limit.
    fn gases(&mut self, ledger: &Ledger) {
        let operations = ledger.steps.iter().flat_map(|step| &step.operations);
        for record in operations {
            let Outcome::Reacted(reaction) = &record.outcome else {
                continue;
            };
            for gas in &reaction.gas {
                let text = format!(
                    "{} of {} comes off",
                    figure::litres(&gas.litres),
                    self.bare(&gas.species)
                );
                let known = hazard::gas(&gas.species.with_phase(None));
                let text = match known {
                    None => format!("{text}; no gas data found, which does not make it safe"),
                    Some(known) => {
                        let air = hazard::room_air(known, gas.litres.to_f64());
                        let limits = [
                            (
                                air.below_quarter_of_explosive,
                                "a quarter of its lower explosive limit",
                            ),
                            (air.below_exposure, "its exposure limit"),
                        ];
                        let told = limits.into_iter().filter_map(|(air, limit)| {
                            air.map(|air| format!("{air:.0} L of air take it below {limit}"))
                        });
                        let all: Vec<String> = [text, known.name().to_owned()]
                            .into_iter()
                            .chain(told)
                            .collect();
                        format!("{}; work in the hood, away from flames", all.join("; "))
                    }
                };
                self.wrapped(2, 4, &format!("! {text}"));
            }
        }
    }

    fn measure_out(&mut self, ledger: &Ledger) {
        self.section("What to measure out");
        if ledger.draws.is_empty() {
            self.line("  nothing");
            return;
        }
        let amounts = |draw: &Draw| {
            let weigh = figure::mass(&draw.grams);
            match &draw.millilitres {
                Some(pour) => format!("{} ({weigh})", figure::volume(pour)),
                None => weigh,
            }
        };
        let width = ledger
            .draws
            .iter()
            .map(|d| amounts(d).width())
            .max()
            .unwrap_or(0);
        for draw in &ledger.draws {
            let amount = amounts(draw);
            let pad = " ".repeat(width - amount.width());
            let named = self.named(draw);
            self.line(&format!("  {pad}{amount}  {named}"));
            // The reason stands below its line: beside it there is no room for words.
            let why = format!("{}, {}", figure::amount(&draw.moles), self.why(draw));
            self.wrapped(8, 2, &why);
        }
    }

    fn named(&self, draw: &Draw) -> String {
        let substance = self.bare(&draw.substance);
        match &draw.bottle {
            Some(bottle) if draw.strength.is_empty() => format!("{bottle}: {substance}"),
            Some(bottle) => format!("{bottle}: {substance} {}", draw.strength),
            None if substance == "H₂O" || substance == "H2O" => "water".to_owned(),
            None => substance,
        }
    }

    fn why(&self, draw: &Draw) -> String {
        match &draw.reason {
            DrawReason::Stated => format!("into {}", draw.vessel),
            DrawReason::Wash => format!("to wash {}", draw.vessel),
            DrawReason::Dilution => format!("to fill up {}", draw.vessel),
            DrawReason::Enough {
                for_species,
                excess,
                ..
            } => {
                let over = match excess {
                    Some(excess) => format!(", {} more than needed", figure::percent(excess)),
                    None => String::new(),
                };
                format!(
                    "into {}, to use up {}{over}",
                    draw.vessel,
                    self.bare(for_species)
                )
            }
        }
    }

    fn steps(&mut self, ledger: &Ledger) {
        for (index, step) in ledger.steps.iter().enumerate() {
            let title = match &step.title {
                Some(title) => format!("Step {}: {title}", index + 1),
                None => format!("Step {}", index + 1),
            };
            self.section(&title);
            for record in &step.operations {
                self.operation(record);
            }
            let shown: Vec<&VesselState> = step.after.iter().filter(|v| !v.emptied).collect();
            if !shown.is_empty() {
                self.line("  Now in the vessels:");
            }
            for vessel in shown {
                self.vessel(vessel);
            }
        }
    }

    fn vessel(&mut self, vessel: &VesselState) {
        let mut head = format!("{}: {}", vessel.name, figure::mass(&vessel.mass));
        if let Some(volume) = &vessel.volume {
            head += &format!(", {} of liquid", figure::volume(volume));
            if let Some(capacity) = &vessel.capacity {
                head += &format!(" in {}", figure::volume(capacity));
            }
        }
        head += &format!(", {}", figure::temperature(&vessel.temperature));
        self.wrapped(4, 2, &head);
        let rows: Vec<Vec<String>> = vessel
            .contents
            .iter()
            .map(|c| {
                let note = if c.species.phase() == Some(Phase::Solid) {
                    "solid"
                } else {
                    ""
                };
                let name = self.bare(&c.species);
                vec![
                    figure::amount(&c.moles),
                    figure::mass(&c.grams),
                    name,
                    note.to_owned(),
                ]
            })
            .collect();
        self.rows(6, &rows);
    }

    fn operation(&mut self, record: &OperationRecord) {
        match &record.outcome {
            Outcome::Noted(note) => self.wrapped(2, 2, note),
            outcome => {
                self.wrapped(2, 4, &record.text);
                self.outcome(outcome);
            }
        }
        for remark in &record.remarks {
            self.remark(remark, 6);
        }
    }

    fn outcome(&mut self, outcome: &Outcome) {
        match outcome {
            Outcome::Charged {
                draws,
                dissolved,
                heat,
                temperature,
                over,
                ..
            } => {
                for draw in draws {
                    if let DrawReason::Enough { .. } = draw.reason {
                        let amount = draw
                            .millilitres
                            .as_ref()
                            .map_or_else(|| figure::mass(&draw.grams), figure::volume);
                        self.wrapped(
                            6,
                            2,
                            &format!(
                                "measure out {amount} of {}, {}",
                                self.named(draw),
                                self.why(draw)
                            ),
                        );
                    }
                }
                for (species, moles) in dissolved {
                    self.wrapped(
                        6,
                        2,
                        &format!(
                            "{} of {} dissolves",
                            figure::amount(moles),
                            self.bare(species)
                        ),
                    );
                }
                if !dissolved.is_empty() {
                    self.heat("heat of dissolving", heat);
                }
                let time = over
                    .as_ref()
                    .map_or(String::new(), |t| format!(", over {}", figure::time(t)));
                self.wrapped(
                    6,
                    2,
                    &format!("then at {}{time}", figure::temperature(temperature)),
                );
            }
            Outcome::Reacted(record) => self.reaction(record),
            Outcome::Thermal {
                from,
                to,
                bath,
                held,
                ..
            } => {
                let (from, to) = (figure::temperature(from), figure::temperature(to));
                let stays = if *held { ", and the bath stays" } else { "" };
                self.wrapped(6, 2, &format!("from {from} to {to}{stays}"));
                self.bath(bath);
            }
            Outcome::Vented { gas, .. } => self.gas(gas),
            Outcome::Closure { sealed, .. } => {
                self.wrapped(
                    6,
                    2,
                    if *sealed {
                        "closed: gas stays in"
                    } else {
                        "open"
                    },
                );
            }
            Outcome::Moved { to, retained, .. } => self.moved(to, retained.as_ref()),
            Outcome::Washed {
                dissolved, into, ..
            } => {
                for (species, moles) in dissolved {
                    let text = format!(
                        "the washings take up to {} of {}",
                        figure::amount(moles),
                        self.bare(species)
                    );
                    self.wrapped(6, 2, &text);
                }
                let to = into.as_deref().unwrap_or("the drain");
                self.wrapped(6, 2, &format!("washings to {to}"));
            }
            Outcome::Dried { water, residue, .. } => {
                self.wrapped(
                    6,
                    2,
                    &format!("{} of water goes to the air", figure::mass(water)),
                );
                for (species, moles) in residue {
                    let text = format!(
                        "what was dissolved stays: {} of {}",
                        figure::amount(moles),
                        self.bare(species)
                    );
                    self.wrapped(6, 2, &text);
                }
            }
            Outcome::Evaporated { water, heat, .. } => {
                self.wrapped(6, 2, &format!("{} of water boils off", figure::mass(water)));
                self.heat("heat needed", heat);
            }
            Outcome::Diluted { draw, .. } => {
                let amount = draw
                    .millilitres
                    .as_ref()
                    .map_or_else(|| figure::mass(&draw.grams), figure::volume);
                self.wrapped(6, 2, &format!("takes {amount} of water"));
            }
            Outcome::Crystallised(record) => self.crystals(record),
            Outcome::Found { planned, found, .. } => {
                let text = format!(
                    "planned {}, found {}",
                    figure::quantity(planned),
                    figure::quantity(found)
                );
                self.wrapped(6, 2, &text);
            }
            Outcome::Waited { seconds } => self.wrapped(6, 2, &figure::time(seconds)),
            Outcome::Noted(_) => {}
            Outcome::Blank => self.wrapped(6, 2, "left blank: it could not be carried out"),
        }
    }

    fn reaction(&mut self, record: &ReactRecord) {
        let written = record.reaction.to_text(self.style.notation);
        self.wrapped(6, 4, &written);
        let net = without_phases(&record.net).to_text(self.style.notation);
        if net != written {
            self.wrapped(6, 4, &format!("in the vessel: {net}"));
        }
        if record.extent.is_zero() {
            self.wrapped(6, 2, "nothing happens");
            return;
        }
        if let Some(limiting) = &record.limiting {
            let left: Vec<String> = record
                .leftovers
                .iter()
                .map(|(s, n)| format!("{} {}", figure::amount(n), self.bare(s)))
                .collect();
            let left = if left.is_empty() {
                "nothing is left over".to_owned()
            } else {
                format!("left over: {}", left.join(", "))
            };
            self.wrapped(
                6,
                2,
                &format!("{} runs out first; {left}", self.bare(limiting)),
            );
        }
        self.heat("heat", &record.heat);
        self.gas(&record.gas);
        match (&record.uncooled, &record.held) {
            (Some(uncooled), Some(held)) => {
                let text = format!(
                    "held at {}; uncooled it would come to {}",
                    figure::temperature(held),
                    figure::temperature(uncooled)
                );
                self.wrapped(6, 2, &text);
            }
            (Some(uncooled), None) => {
                let text = format!(
                    "uncooled: {} → {}",
                    figure::temperature(&record.start),
                    figure::temperature(uncooled)
                );
                let text = if self.style.notation == Notation::Printed {
                    text
                } else {
                    text.replace('→', "->")
                };
                self.wrapped(6, 2, &text);
            }
            (None, _) => self.wrapped(6, 2, "temperature unknown, since the heat is"),
        }
    }

    fn crystals(&mut self, record: &CrystalRecord) {
        let text = format!(
            "{} ({}) of {} to {}; {} stays dissolved (solubility {} g in 100 g of water at {})",
            figure::mass(&record.grams),
            figure::amount(&record.moles),
            self.bare(&record.solid),
            record.into,
            figure::mass(&record.stays),
            figure::number(&record.solubility),
            figure::temperature(&record.temperature),
        );
        self.wrapped(6, 2, &text);
        if record.retained.is_positive() {
            let clings = figure::volume(&record.retained);
            self.wrapped(
                6,
                2,
                &format!("{clings} of liquor clings to the crystals (0.2 mL for each gram)"),
            );
        }
        self.bath(&record.bath);
    }

    fn moved(&mut self, to: &[(String, Number)], retained: Option<&Number>) {
        if to.is_empty() {
            self.wrapped(6, 2, "all of it to the waste jar");
        }
        for (name, grams) in to {
            self.wrapped(6, 2, &format!("{} to {name}", figure::mass(grams)));
        }
        if let Some(retained) = retained.filter(|r| r.is_positive()) {
            self.wrapped(
                6,
                2,
                &format!(
                    "{} of liquor stays with the solid",
                    figure::volume(retained)
                ),
            );
        }
    }

    fn gas(&mut self, gas: &[GasRecord]) {
        for record in gas {
            let text = format!(
                "gas: {} of {} ({})",
                figure::litres(&record.litres),
                self.bare(&record.species),
                figure::amount(&record.moles)
            );
            self.wrapped(6, 2, &text);
        }
    }

    fn heat(&mut self, label: &str, heat: &Heat) {
        let text = match heat {
            Heat::Known(heat) if heat.is_negative() => {
                format!("{label}: {} given off", figure::heat(&-heat))
            }
            Heat::Known(heat) => format!("{label}: {} taken up", figure::heat(heat)),
            Heat::Unknown(species) => {
                format!("{label}: unknown, no data for {}", self.list(species))
            }
        };
        self.wrapped(6, 2, &text);
    }

    fn bath(&mut self, bath: &Heat) {
        let text = match bath {
            Heat::Known(heat) if heat.is_negative() => {
                format!("the bath gives {}", figure::heat(&-heat))
            }
            Heat::Known(heat) => format!("the bath takes up {}", figure::heat(heat)),
            Heat::Unknown(species) => format!(
                "heat for the bath unknown, no data for {}",
                self.list(species)
            ),
        };
        self.wrapped(6, 2, &text);
    }

    fn list(&self, species: &[crate::matter::Species]) -> String {
        let all: Vec<String> = species.iter().map(|s| self.formula(s)).collect();
        all.join(", ")
    }

    fn product(&mut self, ledger: &Ledger) {
        if ledger.yields.is_empty() {
            return;
        }
        self.section("Product and yield");
        for record in &ledger.yields {
            let found = if record.weighed {
                "as weighed, taken as pure"
            } else {
                "by the plan"
            };
            let text = format!(
                "{} in {}, {found}: {} ({})",
                self.bare(&record.product),
                record.vessel,
                figure::mass(&record.found.1),
                figure::amount(&record.found.0)
            );
            self.wrapped(2, 2, &text);
            let text = format!(
                "at most, on {} of {}: {}",
                figure::amount(&record.basis_moles),
                self.bare(&record.basis),
                figure::mass(&record.theoretical.1)
            );
            self.wrapped(2, 2, &text);
            let text = match &record.fraction {
                Some(fraction) => format!("yield: {}", figure::percent(fraction)),
                None => format!(
                    "yield: none to reckon, since no {} was charged",
                    self.bare(&record.basis)
                ),
            };
            self.wrapped(2, 2, &text);
        }
    }

    fn answers(&mut self, ledger: &Ledger) {
        if !ledger.shows.is_empty() {
            self.section("Asked");
            self.shows(&ledger.shows);
        }
        if !ledger.expectations.is_empty() {
            self.section("Expectations");
            self.expectations(&ledger.expectations);
        }
    }

    fn shows(&mut self, shows: &[Shown]) {
        for shown in shows {
            match &shown.answer {
                Answer::Budget(shares) if shares.is_empty() => {
                    self.wrapped(
                        2,
                        4,
                        &format!("{}: nothing in it is uncertain", shown.expression),
                    );
                }
                Answer::Budget(shares) => {
                    self.wrapped(
                        2,
                        4,
                        &format!("{}, share of the variance:", shown.expression),
                    );
                    let rows: Vec<Vec<String>> = shares
                        .iter()
                        .map(|(input, share)| {
                            vec![format!("{:.1} %", share * 100.0), input.clone()]
                        })
                        .collect();
                    self.rows(6, &rows);
                }
                answer => {
                    let text = format!("{} = {}", shown.expression, figure::answer(answer));
                    self.wrapped(2, 4, &text);
                }
            }
        }
    }

    fn expectations(&mut self, expectations: &[Expectation]) {
        for expectation in expectations {
            let verdict = if expectation.met { "met" } else { "NOT MET" };
            let text = format!(
                "{verdict}: {} (it is {})",
                expectation.expression,
                figure::answer(&expectation.value)
            );
            self.wrapped(2, 4, &text);
        }
    }

    fn scale(&mut self, table: &ScaleTable) {
        self.section(&format!(
            "For {} of {}",
            self.basis_amount(table),
            self.bare(&table.basis)
        ));
        self.wrapped(2, 4, &table.reaction.to_text(self.style.notation));
        let rows: Vec<Vec<String>> = table.rows.iter().map(|row| self.scale_row(row)).collect();
        self.rows(2, &rows);
        match &table.heat {
            Heat::Known(heat) if heat.is_negative() => {
                self.wrapped(2, 2, &format!("heat: {} given off", figure::heat(&-heat)))
            }
            Heat::Known(heat) => {
                self.wrapped(2, 2, &format!("heat: {} taken up", figure::heat(heat)))
            }
            Heat::Unknown(species) => {
                let text = format!("heat: unknown, no data for {}", self.list(species));
                self.wrapped(2, 2, &text);
            }
        }
    }

    fn basis_amount(&self, table: &ScaleTable) -> String {
        let basis = table.rows.iter().find(|row| row.species == table.basis);
        basis.map_or(String::new(), |row| figure::mass(&row.grams))
    }

    fn scale_row(&self, row: &ScaleRow) -> Vec<String> {
        let role = if row.reactant { "use" } else { "get" };
        let mut extra = Vec::new();
        if let Some((name, millilitres, grams)) = &row.bottle {
            let amount = millilitres
                .as_ref()
                .map_or_else(|| figure::mass(grams), figure::volume);
            extra.push(format!("{amount} of {name}"));
        }
        if let Some(litres) = &row.litres {
            extra.push(format!("{} of gas", figure::litres(litres)));
        }
        vec![
            role.to_owned(),
            self.bare(&row.species),
            figure::amount(&row.moles),
            figure::mass(&row.grams),
            extra.join(", "),
        ]
    }

    fn remarks(&mut self, ledger: &Ledger) {
        let inside: Vec<&Remark> = ledger
            .steps
            .iter()
            .flat_map(|s| &s.operations)
            .flat_map(|o| &o.remarks)
            .collect();
        let outside: Vec<&Remark> = ledger
            .remarks
            .iter()
            .filter(|r| !inside.contains(r))
            .collect();
        if outside.is_empty() {
            return;
        }
        self.section("Worth a look");
        for remark in outside {
            self.remark(remark, 2);
        }
    }

    fn remark(&mut self, remark: &Remark, indent: usize) {
        let message = diagnostic::route_fact(&remark.fact, remark.weight, self.style.notation);
        let mark = match remark.weight {
            Weight::Note => "-",
            Weight::Warning => "!",
            Weight::Fault => "!!",
        };
        let mut text = format!("{mark} {}", message.title);
        for hint in &message.hints {
            text += &format!("; {hint}");
        }
        self.wrapped(indent, 2, &text);
    }

    fn waste(&mut self, ledger: &Ledger) {
        self.section("What is left, and waste");
        for vessel in ledger.vessels.iter().filter(|v| !v.emptied) {
            let names: Vec<String> = vessel
                .contents
                .iter()
                .take(8)
                .map(|c| self.bare(&c.species))
                .collect();
            self.wrapped(
                2,
                4,
                &format!(
                    "{}: {} with {}",
                    vessel.name,
                    figure::mass(&vessel.mass),
                    names.join(", ")
                ),
            );
        }
        for outlet in &ledger.outlets {
            let all: Vec<String> = outlet
                .contents
                .iter()
                .map(|c| format!("{} {}", figure::mass(&c.grams), self.bare(&c.species)))
                .collect();
            let account = match outlet.account {
                "air" => "to the air",
                "drain" => "to the waste jar",
                _ => "difference between plan and finding",
            };
            self.wrapped(2, 4, &format!("{account}: {}", all.join(", ")));
        }
        self.wrapped(
            2,
            0,
            "Collect and dispose of it as your local rules and the safety data sheets say.",
        );
    }

    fn sources(&mut self, ledger: &Ledger) {
        self.section("Sources");
        for own in &ledger.own_data {
            self.wrapped(
                2,
                4,
                &format!("{}: data of your own, from the script", self.formula(own)),
            );
        }
        self.wrapped(
            2,
            4,
            "Standard atomic weights 2021, IUPAC CIAAW (Pure Appl. Chem. 94 (2022) 573)",
        );
        for source in &ledger.sources {
            self.wrapped(2, 4, source);
        }
    }
}

/// What can hurt somebody, the worst first, each once.
fn hazards(ledger: &Ledger) -> Vec<(Weight, String)> {
    let mut all: Vec<(Weight, String)> = Vec::new();
    for remark in &ledger.remarks {
        let dangerous = matches!(
            remark.fact,
            Fact::WouldBoil { .. }
                | Fact::Overfull { .. }
                | Fact::FoamRoom { .. }
                | Fact::Hazard { .. }
        );
        if dangerous {
            let message = diagnostic::route_fact(&remark.fact, remark.weight, Notation::Printed);
            if !all.iter().any(|(_, text)| *text == message.title) {
                all.push((remark.weight, message.title));
            }
        }
    }
    all.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
    all
}

fn without_phases(reaction: &crate::equation::Reaction) -> crate::equation::Reaction {
    let bare = |terms: &[(num_bigint::BigInt, crate::matter::Species)]| {
        terms
            .iter()
            .map(|(n, s)| (n.clone(), s.with_phase(None)))
            .collect()
    };
    crate::equation::Reaction {
        left: bare(&reaction.left),
        right: bare(&reaction.right),
    }
}

/// Whether a cell is a number with its unit, which aligns to the right.
fn is_figure(cell: &str) -> bool {
    cell.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '(')
}

/// The hazard statements of a portion, by code and in words.
fn statements(draw: &Draw) -> String {
    let solute = draw.moles.scaled(draw.substance.molar_mass());
    let percent = solute.checked_div(&draw.grams).map(|w| w.to_f64() * 100.0);
    let solution = draw.bottle.is_some() && draw.substance.phase().is_none();
    let (form, percent) = match draw.substance.phase() {
        _ if solution => (hazard::Form::Solution, percent),
        Some(Phase::Gas) => (hazard::Form::Gas, None),
        _ => (hazard::Form::Pure, None),
    };
    match hazard::cautions_for(&draw.substance.with_phase(None), form, percent) {
        hazard::Cautions::NothingFound => {
            "nothing found, which does not make it safe; read its data sheet".to_owned()
        }
        hazard::Cautions::NoClass { .. } => {
            "no class at this strength, which is not the same as harmless".to_owned()
        }
        hazard::Cautions::Found {
            hazards, as_sold, ..
        } => {
            let all: Vec<String> = hazards
                .iter()
                .map(|h| format!("{} {}", h.code, h.text))
                .collect();
            let note = if as_sold {
                " (as for the substance as sold)"
            } else {
                ""
            };
            format!("{}{note}", all.join(" "))
        }
    }
}
