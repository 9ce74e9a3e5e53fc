/** A column of words, or of figures, which stand at the right. */
export type Head = string | { readonly figures: string };

/** The headings of a table. */
export function Heads({ of }: { of: readonly Head[] }) {
  return (
    <thead>
      <tr>
        {of.map((one) =>
          typeof one === 'string' ? (
            <th key={one} scope="col">
              {one}
            </th>
          ) : (
            <th key={one.figures} scope="col" class="mass">
              {one.figures}
            </th>
          ),
        )}
      </tr>
    </thead>
  );
}
