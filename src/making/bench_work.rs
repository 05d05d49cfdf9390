//! Bench aids to files, judged and drawn.

use super::{Read, Refusal};
use crate::aid::{Aid, Aids, Place, Purpose};
use crate::assembly::{Assembly, InstanceId, Pose};
use crate::check::{self, Finding, Outcome, Subject};
use crate::layout::Design;
use crate::load::Case;
use crate::motion::StrokeRates;
use crate::output::album::{self, InUse};
use crate::output::kit::{BenchAid, BenchAids, Product};
use crate::output::part::Maker;
use crate::picture::Picture;
use crate::printing_time::{Body, PrintEstimate};
use crate::solid::{Mesh, Written};

/// What aids are made for.
pub(super) struct BenchWork<'a> {
    pub(super) read: &'a Read,
    pub(super) product: &'a Product,
    pub(super) rates: &'a StrokeRates,
}

impl BenchWork<'_> {
    /// All of them as files; those that a check refuses are left out.
    pub(super) fn made(&self, aids: Aids) -> Result<BenchAids, Refusal> {
        let kit = &self.read.kit;
        let maker = Maker {
            kit: &kit.name,
            tolerance: *kit.tolerance,
        };
        let mut made = BenchAids {
            left_out: aids.left_out,
            ..BenchAids::default()
        };
        let mut sound: Vec<(Aid, Written)> = Vec::new();
        for aid in aids.all {
            let written = maker.written(&aid.part.name, &aid.part.shape);
            sound.push((aid, written.map_err(|unmade| super::unsound(&unmade))?));
        }
        let findings = self.judged(&sound);
        let profile = self.read.profile.as_printed_by(kit);
        for (index, (aid, written)) in sound.into_iter().enumerate() {
            let of_it = |finding: &&Finding| match finding.subject {
                Subject::Part(part) => part.0 == index,
                _ => false,
            };
            let findings: Vec<Finding> = findings.iter().filter(of_it).cloned().collect();
            let mut failed = findings.iter();
            if let Some(failed) = failed.find(|finding| finding.outcome == Outcome::Fail) {
                made.refused.push((aid.part.called, failed.message.clone()));
                continue;
            }
            let body = Body::of(&written.mesh).filled(aid.part.perimeters);
            made.each.push(BenchAid {
                estimate: PrintEstimate::new(&[body], &profile),
                pictures: self.pictures(&aid, &written.mesh)?,
                aid,
                written,
                findings,
            });
        }
        Ok(made)
    }

    /// By the rules of printed parts, as the parts of a mechanism of their own.
    fn judged(&self, aids: &[(Aid, Written)]) -> Vec<Finding> {
        let product = self.product;
        let design = Design {
            assembly: Assembly {
                parts: aids.iter().map(|(aid, _)| aid.part.clone()).collect(),
                instances: Vec::new(),
                joints: Vec::new(),
                ..product.design.assembly.clone()
            },
            ..product.design.clone()
        };
        let case = Case {
            kit: &self.read.kit,
            profile: &self.read.profile,
            design: &design,
            rates: self.rates,
        };
        let meshes: Vec<&Mesh> = aids.iter().map(|(_, written)| &written.mesh).collect();
        check::of_printed(&case, &meshes)
    }

    /// An aid on the bed and in use, where pictures are drawn.
    fn pictures(&self, aid: &Aid, mesh: &Mesh) -> Result<Vec<Picture>, Refusal> {
        let Some(album) = &self.product.album else {
            return Ok(Vec::new());
        };
        let assembly = &self.product.design.assembly;
        let all = || (0..assembly.instances.len()).map(InstanceId).collect();
        let first = |places: &[Place]| places.first().cloned();
        let (present, pin, turn, poses) = match &aid.purpose {
            Purpose::Rest(resting) => told(first(&resting.places)),
            Purpose::EarRest(places) | Purpose::PinGuide { places, .. } => told(first(places)),
            // The frame would hide it.
            Purpose::ShaftRest(place) => {
                let (mut present, pin, turn, poses) = told(Some(place.clone()));
                present.retain(|piece| *piece != assembly.frame);
                (present, pin, turn, poses)
            }
            Purpose::Gauge(gauging) => (all(), None, gauging.turn, vec![gauging.pose]),
        };
        let in_use = InUse {
            name: format!("aid-{}-in-use", aid.part.name),
            called: aid.part.called,
            present,
            pin,
            turn,
            poses,
        };
        let broken = |fault: std::io::Error| Refusal::Broken(fault.to_string());
        let drawn = album::body_on_bed(mesh, aid.part.called, [0.0, 0.0]);
        let alone = Picture {
            name: format!("aid-{}", aid.part.name),
            ..drawn.map_err(broken)?
        };
        let shown = album::in_use(assembly, self.rates.all(), &album.meshes, mesh, &in_use);
        Ok(vec![alone, shown.map_err(broken)?])
    }
}

/// What a picture shows of a place; nothing but the aid where it stands nowhere.
fn told(place: Option<Place>) -> (Vec<InstanceId>, Option<InstanceId>, f64, Vec<Pose>) {
    match place {
        Some(place) => (place.present, Some(place.pin), place.turn, place.poses),
        None => (Vec::new(), None, 0.0, vec![Pose::identity()]),
    }
}
