/// What of a rig is drawn together: the air path, loops of coolant, runs of shafts, what branches off, what only looks.
/// Found from the graph alone; names play no part. Nothing here draws.

import type { Domain, Rig } from "./data";

/// Components that are drawn side by side, in the order of what flows.
export interface Group {
    members: string[];
    touches: string[]; // components of the air path that it meets
}
export interface Groups {
    path: string[]; // from outside air to where the charge is drawn in
    branches: Group[]; // gas beside the path
    loops: Group[]; // coolant, starting behind the first component of the path that it meets
    shafts: Group[]; // ending at the component of the path that is driven
    others: string[]; // what moves or stores heat alone
    watchers: string[];
}

const mostSteps = 20000; // of the search for the longest path; rigs of the shipped size take some dozens

/// Sorts a rig's components into groups; each is in one.
export function groupsOf(rig: Rig): Groups {
    const path = airPath(rig);
    const taken = new Set(path);
    for (const component of rig.components) if (component.kind === "watch") taken.add(component.name);
    const take = (domain: Domain, order: (graph: Graph, members: Set<string>) => string[]) => {
        const graph = graphOf(rig, domain);
        return clusters(graph, taken).map((members): Group => {
            members.forEach((name) => taken.add(name));
            const near = (name: string) => [...graph.next(name), ...graph.previous(name)].some((n) => members.has(n));
            const touches = path.filter(near);
            return { members: order(graph, members), touches };
        });
    };
    const from = (step: Step, members: Set<string>) =>
        walk(step, path.filter((name) => step(name).some((n) => members.has(n))), members);
    const along = ({ next }: Graph, members: Set<string>) => from(next, members);
    const towards = ({ previous }: Graph, members: Set<string>) => from(previous, members).reverse();
    const branches = take("gas", along);
    const loops = take("coolant", along);
    const shafts = take("shaft", towards);
    return {
        path, branches, loops, shafts,
        others: rig.components.map((c) => c.name).filter((name) => !taken.has(name)),
        watchers: rig.components.filter((c) => c.kind === "watch").map((c) => c.name),
    };
}

type Step = (name: string) => string[];
interface Graph {
    names: string[]; // that have an edge, in the rig's order
    next: Step;
    previous: Step;
}

/// What moves in one domain.
function graphOf(rig: Rig, domain: Domain): Graph {
    const edges = rig.edges.filter((e) => e.moves && e.domain === domain);
    const collect = (from: "from" | "to", to: "from" | "to") => {
        const found = new Map<string, string[]>();
        for (const edge of edges) found.set(edge[from], [...(found.get(edge[from]) ?? []), edge[to]]);
        return (name: string) => found.get(name) ?? [];
    };
    const [next, previous] = [collect("from", "to"), collect("to", "from")];
    const names = rig.components.map((c) => c.name).filter((name) => next(name).length + previous(name).length > 0);
    return { names, next, previous };
}

/// The longest way over gas from outside air to what draws the charge in; of equals the one with more connections.
/// Where a rig lacks one of these ends, any component may be that end.
function airPath(rig: Rig): string[] {
    const graph = graphOf(rig, "gas");
    const roles = new Map(rig.components.map((c) => [c.name, c.role]));
    const having = (role: string) => graph.names.filter((name) => roles.get(name) === role);
    const starts = having("ambient");
    const ends = new Set(having("breathing"));
    const connections = (name: string) => rig.edges.filter((e) => e.moves && (e.from === name || e.to === name)).length;
    let best: string[] = [];
    let bestWeight = 0;
    let steps = 0;
    const visit = (path: string[], weight: number): void => {
        if (++steps > mostSteps) return;
        const last = path[path.length - 1];
        const heavier = path.length > best.length || (path.length === best.length && weight > bestWeight);
        if (heavier && (ends.size === 0 || ends.has(last))) [best, bestWeight] = [path, weight];
        for (const name of graph.next(last))
            if (!path.includes(name)) visit([...path, name], weight + connections(name));
    };
    for (const name of starts.length > 0 ? starts : graph.names) visit([name], connections(name));
    return best;
}

/// Sets of components outside `taken` that hang together.
function clusters(graph: Graph, taken: ReadonlySet<string>): Set<string>[] {
    const found: Set<string>[] = [];
    for (const name of graph.names) {
        if (taken.has(name) || found.some((cluster) => cluster.has(name))) continue;
        const cluster = new Set([name]);
        for (const member of cluster) // grows while it is walked
            for (const near of [...graph.next(member), ...graph.previous(member)])
                if (!taken.has(near)) cluster.add(near);
        found.push(cluster);
    }
    return found;
}

/// Members in the order in which a walk from `starts` meets them, passing through what is no member; then the rest.
function walk(step: Step, starts: string[], members: ReadonlySet<string>): string[] {
    const seen = new Set<string>();
    const visit = (name: string): void => {
        if (seen.has(name)) return;
        seen.add(name);
        step(name).forEach(visit);
    };
    [...starts, ...members].forEach(visit);
    return [...seen].filter((name) => members.has(name));
}
