interface WorkingsProps {
  readonly title: string;
  readonly lines: readonly string[];
}

/** How a figure was got, step by step, opened on demand. */
export function Workings({ title, lines }: WorkingsProps) {
  if (lines.length === 0) return null;
  return (
    <details class="workings">
      <summary>{title}</summary>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </details>
  );
}
