import { scrolls } from '../parts/scrolls.ts';
import { type ListView, mend, setColumn } from '../state/bring-in.ts';

type Column = ListView['columns'][number];

const UNIT_SAYS: Readonly<Record<string, string>> = { percent: 'per cent', fraction: 'fractions of 1' };

/** What a column is taken for, and what its figures count in. */
function Heading({ column, view }: { column: Column; view: ListView }) {
  const { index, heading, field, unit, units, why } = column;
  return (
    <th scope="col">
      <span class="list-heading">{heading}</span>
      <select
        aria-label={`${heading} is`}
        value={field ?? ''}
        onChange={(event) => setColumn(index, event.currentTarget.value || null)}
      >
        <option value="">not taken</option>
        {view.fields.map((one) => (
          <option key={one.field} value={one.field}>
            {one.says}
          </option>
        ))}
      </select>
      {units.length > 1 && (
        <select
          aria-label={`${heading} counts in`}
          value={unit ?? ''}
          onChange={(event) => setColumn(index, field, event.currentTarget.value)}
        >
          {units.map((one) => (
            <option key={one} value={one}>
              {field === 'price' ? `for ${one}` : (UNIT_SAYS[one] ?? one)}
            </option>
          ))}
        </select>
      )}
      <small>{why}</small>
    </th>
  );
}

function Cell({ row, column, text, view }: { row: number; column: Column; text: string; view: ListView }) {
  const wrong = view.remarks.find((one) => one.stops && one.row === row && one.column === column.index);
  if (wrong === undefined) return <td data-taken={column.field !== null}>{text}</td>;
  return (
    <td data-taken="true">
      <input
        type="text"
        autoComplete="off"
        aria-label={`row ${row}, ${column.heading}`}
        aria-invalid="true"
        value={text}
        onChange={(event) => mend(row, column.index, event.currentTarget.value)}
      />
    </td>
  );
}

/** The rows as they were read; a cell that stops the list is mended in its place. */
export function ListTable({ view }: { view: ListView }) {
  return (
    <section class="list-table" aria-label="Rows of the list" {...scrolls}>
      <table>
        <caption>
          {view.count} {view.count === 1 ? 'row' : 'rows'}
          {view.hidden > 0 && `, ${view.hidden} of them not shown`}
        </caption>
        <thead>
          <tr>
            <th scope="col">row</th>
            {view.columns.map((column) => (
              <Heading key={column.index} column={column} view={view} />
            ))}
          </tr>
        </thead>
        <tbody>
          {view.rows.map(({ row, cells }) => (
            <tr key={row}>
              <th scope="row">{row}</th>
              {view.columns.map((column) => (
                <Cell
                  key={column.index}
                  row={row}
                  column={column}
                  text={cells[column.index] ?? ''}
                  view={view}
                />
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
