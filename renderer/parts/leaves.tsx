interface Leaf {
  readonly href: string;
  readonly says: string;
  readonly here: boolean;
  /** How many things wait there; none is not told. */
  readonly count?: number;
}

/** The leaves of a screen that has several, as links in a row under its head. */
export function Leaves({ of, leaves }: { readonly of: string; readonly leaves: readonly Leaf[] }) {
  return (
    <nav class="leaves" aria-label={of}>
      {leaves.map((leaf) => (
        <a key={leaf.href} href={leaf.href} aria-current={leaf.here ? 'page' : undefined}>
          {leaf.says}
          {leaf.count !== undefined && leaf.count > 0 && <span class="leaf-count">{leaf.count}</span>}
        </a>
      ))}
    </nav>
  );
}
