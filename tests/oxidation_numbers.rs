//! Oxidation numbers against published ones, by class.
//!
//! The rules are those of P. Karen, P. McArdle, J. Takats, Pure Appl. Chem. 86 (2014) 1017 (IUPAC technical report) and of
//! IUPAC Recommendations 2016 (Pure Appl. Chem. 88 (2016) 831), from memory; the examples that OpenStax Chemistry 2e,
//! section 4.2 and chapters 18 and 19, works are marked OS, also from memory. The rest is what every textbook gives:
//! common practice, no source.

use aludel::equation::oxidation::{Choice, numbers};
use aludel::matter::{Element, Species};
use aludel::number::Exact;

fn read(text: &str) -> String {
    let species = Species::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
    let found = numbers(&species);
    let sum: Exact = found.atoms.iter().map(|a| &a.count * &a.number).sum();
    assert_eq!(
        sum,
        Exact::from(species.charge()),
        "{text}: the sum is not the charge"
    );
    for (element, count) in species.composition().iter() {
        let counted: Exact = found.of(element).map(|a| a.count.clone()).sum();
        assert_eq!(counted, count, "{text}: not every atom has a number");
    }
    let mut all: Vec<String> = found
        .atoms
        .iter()
        .map(|a| format!("{} {}", a.element.symbol(), a.number))
        .collect();
    all.sort();
    all.join(", ")
}

fn all(rows: &[(&str, &str)]) {
    let wrong: Vec<String> = rows
        .iter()
        .filter(|(text, expected)| read(text) != *expected)
        .map(|(text, expected)| format!("{text}: {} instead of {expected}", read(text)))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn numbers_are_those_of_the_textbooks() {
    all(&[
        ("Fe", "Fe 0"),
        ("S8", "S 0"),
        ("I3^-", "I -1/3"),
        ("Hg2^2+", "Hg 1"),
        ("KMnO4", "K 1, Mn 7, O -2"),
        ("Cr2O7^2-", "Cr 6, O -2"),
        ("Fe3O4", "Fe 8/3, O -2"),
        ("S4O6^2-", "O -2, S 2.5"),
        ("S2O3^2-", "O -2, S 2"),
        ("H2O2", "H 1, O -1"),
        ("Na2O2", "Na 1, O -1"),
        ("BaO2", "Ba 2, O -1"),
        ("KO2", "K 1, O -0.5"),
        ("KO3", "K 1, O -1/3"),
        ("PbO2", "O -2, Pb 4"),
        ("OF2", "F -1, O 2"),
        ("NaH", "H -1, Na 1"),
        ("LiAlH4", "Al 3, H -1, Li 1"),
        ("BH4^-", "B 3, H -1"),
        ("NH3", "H 1, N -3"),
        ("N2H4", "H 1, N -2"),
        ("NH2OH", "H 1, N -1, O -2"),
        ("HN3", "H 1, N -1/3"),
        ("NaN3", "N -1/3, Na 1"),
        ("NH4NO3", "H 1, N -3, N 5, O -2"),
        ("KSCN", "C 4, K 1, N -3, S -2"),
        ("HCN", "C 2, H 1, N -3"),
        ("CN^-", "C 2, N -3"),
        ("CNO^-", "C 4, N -3, O -2"),
        ("CH3COOH", "C 0, H 1, O -2"),
        ("C6H5CH3", "C -8/7, H 1"),
        ("C2O4^2-", "C 3, O -2"),
        ("K4[Fe(CN)6]", "C 2, Fe 2, K 1, N -3"),
        ("[Fe(CN)6]^3-", "C 2, Fe 3, N -3"),
        ("[Cu(NH3)4]SO4", "Cu 2, H 1, N -3, O -2, S 6"),
        ("[Cr(H2O)6]^3+", "Cr 3, H 1, O -2"),
        ("[Fe(SCN)]^2+", "C 4, Fe 3, N -3, S -2"),
        ("[Fe(C2O4)3]^3-", "C 3, Fe 3, O -2"),
        ("Ni(CO)4", "C 2, Ni 0, O -2"),
        ("[Al(OH)4]^-", "Al 3, H 1, O -2"),
        ("[HgCl4]^2-", "Cl -1, Hg 2"),
        ("K2[PtCl6]", "Cl -1, K 1, Pt 4"),
        ("CuSO4·5H2O", "Cu 2, H 1, O -2, S 6"),
        ("KAl(SO4)2·12H2O", "Al 3, H 1, K 1, O -2, S 6"),
        ("S2O8^2-", "O -1, O -2, S 6"),
        ("HSO5^-", "H 1, O -1, O -2, S 6"),
        ("CrO5", "Cr 6, O -1, O -2"),
        ("FeS2", "Fe 2, S -1"),
        ("CuFeS2", "Cu 1, Fe 3, S -2"),
        ("As2S3", "As 3, S -2"),
        ("CrI3", "Cr 3, I -1"),
        ("Na4XeO6", "Na 1, O -2, Xe 8"),
        ("POCl3", "Cl -1, O -2, P 5"),
        ("ICl3", "Cl -1, I 3"),
        ("D2O", "D 1, O -2"),
        ("NH4Fe(SO4)2·12H2O", "Fe 3, H 1, N -3, O -2, S 6"),
    ]);
}

#[test]
fn elements_and_simple_ions() {
    all(&[
        ("H2", "H 0"),
        ("P4", "P 0"),
        ("O3", "O 0"),
        ("Na^+", "Na 1"),
        ("S^2-", "S -2"),
        ("Hg2Cl2", "Cl -1, Hg 1"),
    ]);
}

/// OS 4.2: H2S, SO3^2-, Na2SO4, KNO3, AlH3, NH4^+, H2PO4^-.
#[test]
fn the_worked_examples_of_a_textbook() {
    all(&[
        ("H2S", "H 1, S -2"),
        ("SO3^2-", "O -2, S 4"),
        ("Na2SO4", "Na 1, O -2, S 6"),
        ("KNO3", "K 1, N 5, O -2"),
        ("AlH3", "Al 3, H -1"),
        ("NH4^+", "H 1, N -3"),
        ("H2PO4^-", "H 1, O -2, P 5"),
    ]);
}

#[test]
fn oxides_of_nitrogen_and_the_halates() {
    all(&[
        ("N2O", "N 1, O -2"),
        ("NO", "N 2, O -2"),
        ("N2O3", "N 3, O -2"),
        ("NO2", "N 4, O -2"),
        ("N2O5", "N 5, O -2"),
        ("HNO2", "H 1, N 3, O -2"),
        ("N2H5^+", "H 1, N -2"),
        ("NH3OH^+", "H 1, N -1, O -2"),
        ("HClO", "Cl 1, H 1, O -2"),
        ("NaClO2", "Cl 3, Na 1, O -2"),
        ("KClO3", "Cl 5, K 1, O -2"),
        ("KBrO3", "Br 5, K 1, O -2"),
        ("NaIO4", "I 7, Na 1, O -2"),
        ("H5IO6", "H 1, I 7, O -2"),
        ("ClF3", "Cl 3, F -1"),
        ("IF7", "F -1, I 7"),
        ("NI3", "I 1, N -3"),
    ]);
}

#[test]
fn peroxides_superoxides_and_what_holds_them() {
    all(&[
        ("HO2^-", "H 1, O -1"),
        ("RbO2", "O -0.5, Rb 1"),
        ("O2^2-", "O -1"),
        ("O2^-", "O -0.5"),
        ("K2S2O8", "K 1, O -1, O -2, S 6"),
        ("H2SO5", "H 1, O -1, O -2, S 6"),
        ("(Na2CO3)2·3H2O2", "C 4, H 1, Na 1, O -1, O -2"),
    ]);
}

#[test]
fn sulfides_and_other_minerals() {
    all(&[
        ("FeS", "Fe 2, S -2"),
        ("MoS2", "Mo 4, S -2"),
        ("Cu2S", "Cu 1, S -2"),
        ("FeAsS", "As 0, Fe 2, S -2"),
        ("As2S5", "As 5, S -2"),
        ("Sb2S3", "S -2, Sb 3"),
        ("FeCr2O4", "Cr 3, Fe 2, O -2"),
        ("Pb3O4", "O -2, Pb 8/3"),
        ("Mn3O4", "Mn 8/3, O -2"),
        ("CaC2", "C -1, Ca 2"),
        ("Al4C3", "Al 3, C -4"),
        ("Mg3N2", "Mg 2, N -3"),
    ]);
}

/// The ligands keep their charge: CN^-, NH3, H2O, SCN^-, C2O4^2-, CO, NO, OH^-, halides.
#[test]
fn complexes_with_known_ligands() {
    all(&[
        ("[Co(NH3)6]Cl3", "Cl -1, Co 3, H 1, N -3"),
        ("[Co(NH3)5Cl]Cl2", "Cl -1, Co 3, H 1, N -3"),
        ("[Ag(NH3)2]^+", "Ag 1, H 1, N -3"),
        ("K3[Fe(C2O4)3]", "C 3, Fe 3, K 1, O -2"),
        ("[Au(CN)2]^-", "Au 1, C 2, N -3"),
        ("Fe(CO)5", "C 2, Fe 0, O -2"),
        ("[Sn(OH)6]^2-", "H 1, O -2, Sn 4"),
        ("H2[PtCl6]", "Cl -1, H 1, Pt 4"),
        ("K2[NiF6]", "F -1, K 1, Ni 4"),
        ("Na3[Ag(S2O3)2]", "Ag 1, Na 1, O -2, S 2"),
        ("[Fe(H2O)5(NO)]^2+", "Fe 2, H 1, N 2, O -2"),
        ("[Fe(CN)5NO]^2-", "C 2, Fe 3, N -3, N 2, O -2"),
    ]);
}

/// Carbon takes the rest, as a mean over its atoms; what sits on a metal with one bond counts -1.
#[test]
fn organic_compounds() {
    all(&[
        ("CH4", "C -4, H 1"),
        ("C2H5OH", "C -2, H 1, O -2"),
        ("CH3CHO", "C -1, H 1, O -2"),
        ("HCHO", "C 0, H 1, O -2"),
        ("HCOOH", "C 2, H 1, O -2"),
        ("H2C2O4", "C 3, H 1, O -2"),
        ("C6H12O6", "C 0, H 1, O -2"),
        ("CHI3", "C 2, H 1, I -1"),
        ("CCl4", "C 4, Cl -1"),
        ("CO(NH2)2", "C 4, H 1, N -3, O -2"),
        ("Pb(C2H5)4", "C -3, H 1, Pb 4"),
        ("Al(CH3)3", "Al 3, C -4, H 1"),
        ("Fe(C5H5)2", "C -1.2, Fe 2, H 1"),
        ("(CN)2", "C 3, N -3"),
        ("KOCN", "C 4, K 1, N -3, O -2"),
    ]);
}

#[test]
fn choices_are_told() {
    let choices = |text: &str| numbers(&Species::parse(text).unwrap()).choices;
    let metal = Element::of_symbol("Fe").unwrap();
    assert_eq!(choices("FeS2"), [Choice::Disulfide(metal)]);
    assert_eq!(choices("FeAsS"), [Choice::Metal(metal)]);
    assert_eq!(choices("S2O3^2-"), [Choice::Average(Element::S)]);
    assert_eq!(choices("Na2S2O3"), [Choice::Average(Element::S)]);
    assert_eq!(choices("[Fe(CN)5NO]^2-"), [Choice::Nitrosyl]);
    assert_eq!(choices("K2SO4"), []);
}
