//! Which way through each zone, when a machine that is brought once serves them all.
//!
//! This is the facility-location problem with one addition: a way may need several
//! machines together. Zones are the customers, machines the facilities, bringing a
//! machine its fixed cost, and a way's own cost the cost of service. The bound is the
//! Lagrangian one: bringing each machine is split over the zones that want it
//! (`share[zone][machine] >= 0`, together at most the machine's cost), after which every
//! zone chooses for itself; no real plan can cost less than the sum of those choices.
//! Shares are raised by dual ascent and bettered by subgradient steps; what is left of a
//! gap is closed by branching on machines (brought or left at home). Costs are whole
//! ten-thousandths of money (or of a mix), so sums do not depend on their order, and no
//! clock is looked at: the same problem always gives the same answer.

/// Machines as bits, at most 128.
pub type MachineSet = u128;

/// One way through a zone: what it costs by itself, and what must be brought for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offer {
    /// Cost of the way without bringing machines, in ten-thousandths.
    pub cost: i64,
    /// The machines that it needs.
    pub machines: MachineSet,
}

/// Several zones that share machines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sharing {
    /// The ways through each zone; at least one each.
    pub zones: Vec<Vec<Offer>>,
    /// What it costs to bring each machine, in ten-thousandths.
    pub bringing: Vec<i64>,
    /// Machines that are brought in any case.
    pub brought: MachineSet,
}

/// One way chosen for every zone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shared {
    /// The number of the way chosen in each zone.
    pub chosen: Vec<usize>,
    /// Ways and bringing together.
    pub cost: i64,
    /// No choice costs less.
    pub bound: i64,
}

impl Shared {
    /// Whether the choice is proven the best.
    #[must_use]
    pub fn is_optimal(&self) -> bool {
        self.bound >= self.cost
    }
}

/// Ways looked at after which branching stops and the gap is reported: some seconds.
const MOST_LOOKS: u64 = 300_000_000;
/// Subgradient steps at the root and at every node below it.
const ROOT_STEPS: usize = 400;
const NODE_STEPS: usize = 30;

impl Sharing {
    /// The best choice of ways; the best found and its bound where the proof would take
    /// more than [`MOST_LOOKS`] looks at a way. `None` where a zone has no way.
    #[must_use]
    pub fn solve(&self) -> Option<Shared> {
        if self.zones.iter().any(Vec::is_empty) {
            return None;
        }
        let mut search = Search::new(self);
        search.run();
        let chosen = search.best.iter().zip(&search.kept).map(|(way, kept)| kept[*way]).collect();
        // What is brought in any case stands outside the search: it would only blunt its bounds.
        let brought = search.cost_of(self.brought);
        let bound = search.bound.min(search.best_cost) + brought;
        Some(Shared { chosen, cost: search.best_cost + brought, bound })
    }
}

/// What branching has settled of the machines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Settled {
    open: MachineSet,
    closed: MachineSet,
}

struct Search {
    /// Ways that no other way of the same zone beats, and their numbers in the problem.
    ways: Vec<Vec<Offer>>,
    kept: Vec<Vec<usize>>,
    bringing: Vec<i64>,
    all: MachineSet,
    best: Vec<usize>,
    best_cost: i64,
    bound: i64,
    looks: u64,
}

fn bits(set: MachineSet) -> impl Iterator<Item = usize> {
    let mut left = set;
    std::iter::from_fn(move || {
        (left != 0).then(|| {
            let bit = left.trailing_zeros() as usize;
            left &= left - 1;
            bit
        })
    })
}

/// A relaxed choice: every zone for itself under shares of the bringing.
struct Relaxed {
    bound: f64,
    chosen: Vec<usize>,
    /// What is left of each machine's cost above the shares that zones pay.
    slack: Vec<f64>,
}

impl Search {
    fn new(problem: &Sharing) -> Self {
        let free = |set: MachineSet| -> MachineSet {
            bits(set)
                .filter(|&bit| problem.bringing.get(bit).copied().unwrap_or(0) > 0)
                .fold(0, |held, bit| held | 1 << bit)
                & !problem.brought
        };
        let bringing = problem.bringing.clone();
        let cost_of = |set: MachineSet| -> i64 { bits(set).map(|bit| bringing[bit]).sum() };
        let (mut ways, mut kept) = (Vec::new(), Vec::new());
        for zone in &problem.zones {
            let mut order: Vec<(Offer, usize)> = zone
                .iter()
                .enumerate()
                .map(|(number, way)| (Offer { machines: free(way.machines), ..*way }, number))
                .collect();
            order.sort_by_key(|(way, number)| (way.cost, way.machines.count_ones(), *number));
            let mut held: Vec<(Offer, usize)> = Vec::new();
            for (way, number) in order {
                // A way is no use if a cheaper one is cheaper even with its own machines.
                let beaten = held
                    .iter()
                    .any(|(by, _)| by.cost + cost_of(by.machines & !way.machines) <= way.cost);
                if !beaten {
                    held.push((way, number));
                }
            }
            ways.push(held.iter().map(|(way, _)| *way).collect::<Vec<_>>());
            kept.push(held.iter().map(|(_, number)| *number).collect());
        }
        let all = ways.iter().flatten().fold(0, |set, way: &Offer| set | way.machines);
        Self {
            best: vec![0; ways.len()],
            ways,
            kept,
            bringing,
            all,
            best_cost: i64::MAX,
            bound: i64::MIN,
            looks: 0,
        }
    }

    fn cost_of(&self, set: MachineSet) -> i64 {
        bits(set).map(|bit| self.bringing[bit]).sum()
    }

    fn run(&mut self) {
        let root = Settled { open: 0, closed: 0 };
        self.improve_from(self.all);
        self.improve_from(0);
        let mut shares = vec![vec![0.0; self.bringing.len()]; self.ways.len()];
        self.ascend(root, &mut shares);
        let relaxed = self.tighten(root, &mut shares, ROOT_STEPS);
        self.bound = whole_bound(relaxed.bound);
        let root = self.fixed(root, &relaxed);
        self.drop_hopeless(&relaxed, &shares);
        // Nodes by depth first, the likelier branch first; what is cut off keeps its bound.
        let mut stack = vec![(root, shares, relaxed.bound)];
        let mut cut = f64::INFINITY;
        while let Some((settled, mut shares, parent)) = stack.pop() {
            if self.beaten(parent) {
                continue;
            }
            if self.looks > MOST_LOOKS {
                cut = cut.min(parent);
                continue;
            }
            let relaxed = self.tighten(settled, &mut shares, NODE_STEPS);
            let bound = relaxed.bound.max(parent);
            if self.beaten(bound) {
                continue;
            }
            let settled = self.fixed(settled, &relaxed);
            let Some(machine) = self.branching(settled, &relaxed) else {
                // Every open machine is paid: the relaxed choice is a real one.
                self.consider(&relaxed.chosen, false);
                if !self.beaten(bound) {
                    let left = self.all & !settled.open & !settled.closed;
                    let Some(machine) = bits(left).next() else { continue };
                    self.branch(&mut stack, settled, machine, shares, bound, true);
                }
                continue;
            };
            let open_first = relaxed.slack[machine] <= self.bringing[machine] as f64 * 0.5;
            self.branch(&mut stack, settled, machine, shares, bound, open_first);
        }
        let proven = if cut.is_finite() { whole_bound(cut) } else { self.best_cost };
        self.bound = self.bound.max(proven.min(self.best_cost));
    }

    fn branch(
        &self,
        stack: &mut Vec<(Settled, Vec<Vec<f64>>, f64)>,
        settled: Settled,
        machine: usize,
        shares: Vec<Vec<f64>>,
        bound: f64,
        open_first: bool,
    ) {
        let open = Settled { open: settled.open | 1 << machine, ..settled };
        let closed = Settled { closed: settled.closed | 1 << machine, ..settled };
        let (first, second) = if open_first { (open, closed) } else { (closed, open) };
        stack.push((second, shares.clone(), bound));
        stack.push((first, shares, bound));
    }

    /// Whether a bound shows that nothing below it is better than the best found.
    fn beaten(&self, bound: f64) -> bool {
        whole_bound(bound) >= self.best_cost
    }

    fn allowed(&self, settled: Settled, zone: usize) -> impl Iterator<Item = (usize, &Offer)> {
        self.ways[zone]
            .iter()
            .enumerate()
            .filter(move |(_, way)| way.machines & settled.closed == 0)
    }

    /// Dual ascent: zone after zone pays as much more as the next dearer way allows.
    fn ascend(&self, settled: Settled, shares: &mut [Vec<f64>]) {
        let mut left: Vec<f64> = self.bringing.iter().map(|cost| *cost as f64).collect();
        for _ in 0..3 {
            for (zone, paid) in shares.iter_mut().enumerate() {
                let mut costs: Vec<f64> = self
                    .allowed(settled, zone)
                    .map(|(_, way)| reduced(way, paid, settled.open))
                    .collect();
                costs.sort_by(f64::total_cmp);
                let Some(&target) = costs.get(costs.len().min(4).wrapping_sub(1)) else { continue };
                for (_, way) in self.allowed(settled, zone) {
                    let mut missing = target - reduced(way, paid, settled.open);
                    for bit in bits(way.machines & !settled.open) {
                        let raise = missing.min(left[bit]).max(0.0);
                        paid[bit] += raise;
                        left[bit] -= raise;
                        missing -= raise;
                    }
                }
            }
        }
    }

    /// Betters the shares by subgradient steps and keeps the best; good choices met on
    /// the way become the incumbent.
    fn tighten(&mut self, settled: Settled, shares: &mut Vec<Vec<f64>>, steps: usize) -> Relaxed {
        let mut best = self.relax(settled, shares);
        let ways: usize = self.ways.iter().map(Vec::len).sum();
        let mut kept: Option<Vec<Vec<f64>>> = None;
        let (mut pace, mut stale) = (1.0_f64, 0);
        for step in 0..steps {
            let held = self.relax(settled, shares);
            self.looks += ways as u64;
            // Looking round each good relaxed choice is dear: often at the root, once a node.
            if step % 40 == 0 {
                self.consider(&held.chosen, steps == ROOT_STEPS);
            }
            let better = held.bound > best.bound + 1e-9 * best.bound.abs();
            if better {
                kept = Some(shares.clone());
                stale = 0;
            } else {
                stale += 1;
                if stale >= 12 {
                    pace *= 0.6;
                    stale = 0;
                }
            }
            if !self.beaten(best.bound) && pace >= 1e-4 {
                self.step(settled, shares, &held, pace);
            }
            if better {
                best = held;
            }
            if self.beaten(best.bound) || pace < 1e-4 {
                break;
            }
        }
        if let Some(kept) = kept {
            *shares = kept;
        }
        best
    }

    /// One subgradient step: zones that use a machine pay more for it, zones that do not
    /// use it pay less, where the machine as a whole is over- or underpaid.
    fn step(&self, settled: Settled, shares: &mut [Vec<f64>], held: &Relaxed, pace: f64) {
        let gap = (self.best_cost as f64 - held.bound).max(1.0);
        let mut moves: Vec<(usize, usize, f64)> = Vec::new();
        let open = self.all & !settled.open & !settled.closed;
        for (zone, paid) in shares.iter().enumerate() {
            let uses = self.ways[zone][held.chosen[zone]].machines;
            let wants = self.ways[zone].iter().fold(0, |set, way| set | way.machines);
            for bit in bits(wants & open) {
                let brought = f64::from(u8::from(held.slack[bit] < 0.0));
                let slope = f64::from(u8::from(uses & (1 << bit) != 0)) - brought;
                if slope > 0.0 || (slope < 0.0 && paid[bit] > 0.0) {
                    moves.push((zone, bit, slope));
                }
            }
        }
        let length: f64 = moves.iter().map(|(.., slope)| slope * slope).sum();
        if length <= 0.0 {
            return;
        }
        let stride = pace * gap / length;
        for (zone, bit, slope) in moves {
            shares[zone][bit] = (shares[zone][bit] + stride * slope).max(0.0);
        }
    }

    fn relax(&self, settled: Settled, shares: &[Vec<f64>]) -> Relaxed {
        let mut slack: Vec<f64> = self.bringing.iter().map(|cost| *cost as f64).collect();
        let mut bound = self.cost_of(settled.open) as f64;
        let mut chosen = Vec::with_capacity(self.ways.len());
        let open = self.all & !settled.open & !settled.closed;
        for (zone, paid) in shares.iter().enumerate() {
            let best = self
                .allowed(settled, zone)
                .map(|(number, way)| (reduced(way, paid, settled.open), number))
                .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            // Without a way left, this branch holds no plan at all.
            let (cost, number) = best.unwrap_or((f64::INFINITY, 0));
            bound += cost;
            chosen.push(number);
            for bit in bits(open) {
                slack[bit] -= paid[bit];
            }
        }
        bound += bits(open).map(|bit| slack[bit].min(0.0)).sum::<f64>();
        Relaxed { bound, chosen, slack }
    }

    /// Drops ways that the bound alone shows to be in no better choice than the best found.
    fn drop_hopeless(&mut self, relaxed: &Relaxed, shares: &[Vec<f64>]) {
        for (zone, paid) in shares.iter().enumerate() {
            let least = reduced(&self.ways[zone][relaxed.chosen[zone]], paid, 0);
            let mut keep: Vec<bool> = self.ways[zone]
                .iter()
                .map(|way| !self.beaten(relaxed.bound - least + reduced(way, paid, 0)))
                .collect();
            let best = self.best[zone];
            keep[best] = true;
            self.best[zone] = keep.iter().take(best).filter(|kept| **kept).count();
            let mut kept = keep.iter();
            self.ways[zone].retain(|_| *kept.next().unwrap_or(&true));
            let mut kept = keep.iter();
            self.kept[zone].retain(|_| *kept.next().unwrap_or(&true));
        }
    }

    /// Settles machines whose other choice the bound alone already rules out.
    fn fixed(&self, settled: Settled, relaxed: &Relaxed) -> Settled {
        let mut fixed = settled;
        for bit in bits(self.all & !settled.open & !settled.closed) {
            let slack = relaxed.slack[bit];
            if slack > 0.0 && self.beaten(relaxed.bound + slack) {
                fixed.closed |= 1 << bit;
            } else if slack < 0.0 && self.beaten(relaxed.bound - slack) {
                fixed.open |= 1 << bit;
            }
        }
        fixed
    }

    /// The machine that zones disagree most about: used where it is not yet paid.
    fn branching(&self, settled: Settled, relaxed: &Relaxed) -> Option<usize> {
        let mut uses = vec![0_u32; self.bringing.len()];
        for (zone, way) in relaxed.chosen.iter().enumerate() {
            for bit in bits(self.ways[zone][*way].machines & !settled.open) {
                uses[bit] += 1;
            }
        }
        let disputed = bits(self.all & !settled.open & !settled.closed).filter(|&bit| {
            let brought = relaxed.slack[bit] < 0.0;
            (uses[bit] > 0) != brought || (uses[bit] > 0 && relaxed.slack[bit] > 0.0)
        });
        disputed.max_by_key(|&bit| (uses[bit], self.bringing[bit], std::cmp::Reverse(bit)))
    }

    /// Each zone's cheapest way with the machines of a set; zones without one bring more.
    fn serve(&self, set: MachineSet) -> (i64, Vec<usize>, MachineSet) {
        let (mut set, mut total, mut used) = (set, 0, 0);
        let mut chosen = Vec::with_capacity(self.ways.len());
        for ways in &self.ways {
            let price = |way: &Offer| way.cost + self.cost_of(way.machines & !set);
            let best = ways.iter().enumerate().min_by_key(|(number, way)| (price(way), *number));
            let Some((number, way)) = best else { continue };
            total += way.cost;
            set |= way.machines;
            used |= way.machines;
            chosen.push(number);
        }
        (total + self.cost_of(used), chosen, used)
    }

    /// Takes a relaxed choice for a real one, with all its machines brought.
    fn consider(&mut self, chosen: &[usize], look_round: bool) {
        let chosen = chosen.iter().enumerate();
        let used = chosen.fold(0, |set, (zone, way)| set | self.ways[zone][*way].machines);
        if look_round {
            self.improve_from(used);
        } else {
            let (cost, chosen, _) = self.serve(used);
            self.keep(cost, chosen);
        }
    }

    fn keep(&mut self, cost: i64, chosen: Vec<usize>) {
        if cost < self.best_cost {
            self.best_cost = cost;
            self.best = chosen;
        }
    }

    /// Serves from a set of machines, then leaves one at home or brings one more as long
    /// as that helps.
    fn improve_from(&mut self, set: MachineSet) {
        let (mut cost, mut chosen, mut used) = self.serve(set);
        loop {
            let mut better: Option<(i64, Vec<usize>, MachineSet)> = None;
            for bit in bits(self.all) {
                let tried = self.serve(used ^ (1 << bit));
                if tried.0 < better.as_ref().map_or(cost, |held| held.0) {
                    better = Some(tried);
                }
            }
            let Some(found) = better else { break };
            (cost, chosen, used) = found;
        }
        self.keep(cost, chosen);
    }
}

/// A way's cost with the shares that its zone pays for machines.
fn reduced(way: &Offer, paid: &[f64], open: MachineSet) -> f64 {
    way.cost as f64 + bits(way.machines & !open).map(|bit| paid[bit]).sum::<f64>()
}

/// Costs are whole numbers, so a bound may be rounded up, less what rounding may have added.
fn whole_bound(bound: f64) -> i64 {
    if bound == f64::INFINITY {
        return i64::MAX;
    }
    (bound - 1e-3 - bound.abs() * 1e-12).ceil() as i64
}
