//! Names looked up and made.

use crate::text::near;

use super::super::program::{Program, VesselId, VesselSlot};
use super::super::syntax::Name;
use super::{CheckFault, Checked, Checker, Meaning, NameKind};

impl Checker<'_> {
    pub(super) fn vessel(&mut self, name: &Name) -> Checked<VesselId> {
        match self.resolve(name, NameKind::Vessel)? {
            Meaning::Vessel(id) => Ok(id),
            _ => Err(()),
        }
    }

    /// The vessel of a name after `->`: made here unless it exists.
    pub(super) fn target(&mut self, name: &Name) -> Checked<VesselId> {
        if self.names.contains_key(&name.node) {
            return self.vessel(name);
        }
        let mut id = 0;
        self.define(name, |program| {
            program.vessels.push(VesselSlot {
                name: name.node.clone(),
                capacity: None,
            });
            id = program.vessels.len() - 1;
            Meaning::Vessel(id)
        })?;
        Ok(id)
    }

    pub(super) fn resolve(&mut self, name: &Name, wanted: NameKind) -> Checked<Meaning> {
        if let Some((meaning, _)) = self.names.get(&name.node) {
            let meaning = *meaning;
            if meaning.kind() == wanted {
                return Ok(meaning);
            }
            return self.fault(CheckFault::WrongKind {
                name: name.clone(),
                is: meaning.kind(),
                wanted,
            });
        }
        if self.lost.contains(&name.node) {
            return Err(());
        }
        let same_kind = self.names.iter().filter(|(_, (m, _))| m.kind() == wanted);
        let mut known: Vec<&str> = same_kind.map(|(n, _)| n.as_str()).collect();
        known.sort_unstable();
        let near = near(&name.node, known).map(str::to_owned);
        let later = self
            .later
            .get(&name.node)
            .copied()
            .filter(|at| at.start > name.span.start);
        self.fault(CheckFault::UnknownName {
            name: name.clone(),
            wanted,
            near,
            later,
        })
    }

    pub(super) fn define(
        &mut self,
        name: &Name,
        make: impl FnOnce(&mut Program) -> Meaning,
    ) -> Checked<()> {
        if let Some((_, first)) = self.names.get(&name.node) {
            let first = *first;
            return self.fault(CheckFault::Redefined {
                name: name.clone(),
                first,
            });
        }
        let meaning = make(&mut self.program);
        self.names.insert(name.node.clone(), (meaning, name.span));
        Ok(())
    }
}
