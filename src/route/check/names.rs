//! Names looked up and made.

use std::sync::Arc;

use crate::matter::Species;
use crate::text::near;

use super::super::program::{Program, VesselId, VesselSlot};
use super::super::syntax::{Matter, Name, Spanned};
use super::scope::Found;
use super::{CheckFault, Checked, Checker, Known, Meaning, NameKind};

impl Checker<'_> {
    pub(super) fn vessel(&mut self, name: &Name) -> Checked<VesselId> {
        match self.resolve(name, NameKind::Vessel)? {
            Meaning::Vessel(id) => {
                self.named.push(id);
                Ok(id)
            }
            _ => Err(()),
        }
    }

    /// The vessel of a name after `->`: made here unless it exists.
    pub(super) fn target(&mut self, name: &Name) -> Checked<VesselId> {
        let Found::Nothing(..) = self.find_name(name) else {
            return self.vessel(name);
        };
        let mut id = self.program.vessels.next_key();
        self.define(name, |program, name| {
            id = program.vessels.push_and_get_key(VesselSlot {
                name,
                capacity: None,
                capacity_from: None,
            });
            Meaning::Vessel(id)
        })?;
        self.named.push(id);
        Ok(id)
    }

    /// A formula as written, or by the name of a parameter or a bottle.
    pub(super) fn formula(&mut self, matter: &Spanned<Matter>) -> Checked<Species> {
        let name = match &matter.node {
            Matter::Species(species) => return Ok(species.clone()),
            Matter::Name(name) => Name {
                node: name.clone(),
                span: matter.span,
            },
        };
        if let Found::Formula(species) = self.find_name(&name) {
            return Ok(species);
        }
        match self.resolve(&name, NameKind::Bottle)? {
            Meaning::Bottle(id) => Ok(self.program.bottles[id].stuff.substance().clone()),
            _ => Err(()),
        }
    }

    pub(super) fn resolve(&mut self, name: &Name, wanted: NameKind) -> Checked<Meaning> {
        match self.find_name(name) {
            Found::Known(meaning, _) if meaning.kind() == wanted => Ok(meaning),
            Found::Known(meaning, _) => self.fault(CheckFault::WrongKind {
                name: name.clone(),
                is: meaning.kind(),
                wanted,
            }),
            Found::Formula(_) => self.fault(CheckFault::WrongKind {
                name: name.clone(),
                is: NameKind::Formula,
                wanted,
            }),
            Found::Nothing(name, level) => self.unknown(name, level, wanted),
        }
    }

    fn unknown(&mut self, name: Name, level: usize, wanted: NameKind) -> Checked<Meaning> {
        if self.lost.contains(&name.node) {
            return Err(());
        }
        let own = level.checked_sub(1).map(|at| &self.scopes[at].names);
        let all = self.names.iter().chain(own.into_iter().flatten());
        let same_kind = all.filter(|(_, known)| known.meaning.kind() == wanted);
        let mut known: Vec<&str> = same_kind.map(|(n, _)| n.as_str()).collect();
        known.sort_unstable();
        let near = near(
            &name.node,
            known.iter().copied().filter(|n| *n != name.node),
        );
        let near = near.map(str::to_owned);
        let later = self
            .later
            .get(&name.node)
            .copied()
            .filter(|at| at.start > name.span.start);
        self.fault(CheckFault::UnknownName {
            name,
            wanted,
            near,
            later,
        })
    }

    /// Gives a name its meaning, in the scope where it stands for nothing yet; `make` is told what to call the thing.
    pub(super) fn define(
        &mut self,
        name: &Name,
        make: impl FnOnce(&mut Program, String) -> Meaning,
    ) -> Checked<()> {
        let (name, level) = match self.find_name(name) {
            Found::Nothing(name, level) => (name, level),
            Found::Known(_, first) => {
                let name = name.clone();
                return self.fault(CheckFault::Redefined { name, first });
            }
            Found::Formula(_) => {
                return self.fault(CheckFault::Redefined {
                    name: name.clone(),
                    first: name.span,
                });
            }
        };
        let own_name = match level.checked_sub(1) {
            Some(at) => format!("{} in {}", name.node, self.scopes[at].tag),
            None => name.node.clone(),
        };
        let known = Known {
            meaning: make(&mut self.program, own_name),
            span: name.span,
            order: self.program.order.len(),
        };
        match level.checked_sub(1) {
            Some(at) => {
                self.scopes[at].names.insert(name.node, known);
            }
            None => {
                Arc::make_mut(&mut self.program.order).push(name.node.clone());
                self.names.insert(name.node, known);
            }
        }
        Ok(())
    }
}
