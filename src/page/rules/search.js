// Finding things in the rule base by words. Pure.
//
// A thing is {kind, id, name, words}: `words` is what is searched beside the id and the name.

export const KINDS = ["cause", "fact", "rule", "check"];

/** Small letters without accents; the "_" of an id is a blank, so that both are found. */
export const plain = (text) =>
  text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().replaceAll("_", " ");

export const indexOf = (things) =>
  things.map((thing) => ({
    ...thing,
    title: plain(`${thing.id} ${thing.name}`),
    all: plain([thing.id, thing.name, ...thing.words].join(" ")),
  }));

/**
 * Things that have every word of the query, by kind: {kind, found}. Those whose id or name has them
 * all come first; else the order of the rule base stays.
 */
export function search(index, query) {
  const words = plain(query).split(/\s+/).filter(Boolean);
  const has = (text) => words.every((word) => text.includes(word));
  const found = index.filter((thing) => has(thing.all));
  const [named, others] = [
    found.filter(({ title }) => has(title)),
    found.filter(({ title }) => !has(title)),
  ];
  return KINDS.map((kind) => ({
    kind,
    found: [...named, ...others].filter((thing) => thing.kind === kind),
  }));
}

/** All that can be found: from the catalogue, and rules as the engine tells them. */
export function thingsOf(catalogue, rules) {
  const cause = (id) => catalogue.causes.get(id)?.name ?? id;
  const family = (id) => catalogue.families.get(id)?.name ?? id;
  const ask = (id) => catalogue.facts.get(id)?.ask ?? id;
  const causes = [...catalogue.causes.values()].map((one) => ({
    kind: "cause",
    id: one.id,
    name: one.name,
    under: family(one.family),
    words: [one.family, family(one.family)],
  }));
  const facts = catalogue.list.map((one) => ({
    kind: "fact",
    id: one.id,
    name: one.ask,
    under: "",
    words: one.answers.flatMap(({ id, label }) => [id, label]),
  }));
  const spoken = rules.map((one) => {
    const families = one.causes.map((id) => catalogue.causes.get(id)?.family).filter(Boolean);
    return {
      kind: "rule",
      id: one.id,
      name: one.because,
      under: one.when,
      words: [
        one.when,
        ...one.facts.flatMap((id) => [id, ask(id)]),
        ...one.causes.flatMap((id) => [id, cause(id)]),
        ...new Set(families.flatMap((id) => [id, family(id)])),
      ],
    };
  });
  const checks = [...catalogue.checks.values()].map((one) => ({
    kind: "check",
    id: one.id,
    name: one.what,
    under: one.how,
    words: [one.how, ...one.learns.flatMap((id) => [id, ask(id)])],
  }));
  return [...causes, ...facts, ...spoken, ...checks];
}
