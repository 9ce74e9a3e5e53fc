import type { BalanceChoice } from '../../electron/host/table.ts';

/** A unit that a display may show, by its code. */
export type Unit = NonNullable<Extract<BalanceChoice, { kind: 'serial' }>['unit']>;

const NAMES: Readonly<Record<Unit, string>> = {
  g: 'gram, g',
  kg: 'kilogram, kg',
  mg: 'milligram, mg',
  ct: 'metric carat, ct',
  gr: 'grain, gr',
  dwt: 'pennyweight, dwt',
  ozt: 'troy ounce, ozt',
  oz: 'ounce, oz',
  lb: 'pound, lb',
  dr: 'dram, dr',
  scr: 'scruple',
  mom: 'momme',
  tola: 'tola',
  'tael-hk': 'tael of Hong Kong',
  'tael-tw': 'tael of Taiwan',
  'tael-cn': 'tael of China',
};

const isUnit = (text: string): text is Unit => Object.hasOwn(NAMES, text);

interface UnitPickProps {
  readonly value: Unit | '';
  readonly change: (unit: Unit | '') => void;
  /** What stands there while no unit is said. */
  readonly unsaid: string;
}

/** The unit that the display shows, for balances whose lines do not carry it. */
export function UnitPick({ value, change, unsaid }: UnitPickProps) {
  return (
    <label>
      Unit on the display
      <select
        value={value}
        onChange={(event) => {
          const given = event.currentTarget.value;
          change(isUnit(given) ? given : '');
        }}
      >
        <option value="">{unsaid}</option>
        {Object.entries(NAMES).map(([unit, name]) => (
          <option key={unit} value={unit}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}
