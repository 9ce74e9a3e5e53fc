/** What a column of a list can be taken for, by what the list is brought in as. */
export interface Field {
  readonly field: string;
  readonly says: string;
  /** Headings it goes by, in small letters without accents; several tongues, since sheets are written in many. */
  readonly words: readonly string[];
  /** What its figures may count in; the first is taken where nothing says otherwise. */
  readonly units?: readonly string[];
  readonly date?: true;
}

const MASS = ['g', 'kg', 'mg'] as const;

const NAME: Field = {
  field: 'name',
  says: 'name of the material',
  words: [
    'name',
    'material',
    'ingredient',
    'raw material',
    'oil',
    'product',
    'item',
    'substance',
    'bezeichnung',
    'rohstoff',
    'duftstoff',
    'nom',
    'matiere',
    'matiere premiere',
    'nombre',
    'materia prima',
    'nome',
  ],
};
const STRENGTH: Field = {
  field: 'strength',
  says: 'strength of the dilution',
  words: [
    'strength',
    'dilution',
    'concentration',
    'conc',
    'neat %',
    'verdunnung',
    'konzentration',
    'concentracion',
    'concentrazione',
    'diluicao',
  ],
  units: ['percent', 'fraction'],
};
const SOLVENT: Field = {
  field: 'solvent',
  says: 'solvent of the dilution',
  words: [
    'solvent',
    'diluted in',
    'diluent',
    'carrier',
    'losungsmittel',
    'solvant',
    'disolvente',
    'solvente',
  ],
};
const LOT: Field = {
  field: 'code',
  says: 'code of the bottle',
  words: [
    'code',
    'lot',
    'lot code',
    'lot no',
    'bottle code',
    'bottle',
    'batch code',
    'ref',
    'reference',
    'charge',
    'lot n°',
    'lote',
    'lotto',
  ],
};

/** Columns of a list of materials and bottles. */
export const SHELF_FIELDS: readonly Field[] = [
  NAME,
  LOT,
  { field: 'cas', says: 'CAS number', words: ['cas', 'cas no', 'cas number', 'cas nr', 'cas-nr', 'n° cas'] },
  { field: 'note', says: 'note: top, heart, base', words: ['note', 'kopf herz basis', 'nota', 'pyramid'] },
  {
    field: 'family',
    says: 'family',
    words: [
      'family',
      'shelf',
      'group',
      'category',
      'familie',
      'famille',
      'familia',
      'famiglia',
      'olfactive family',
    ],
  },
  { field: 'kind', says: 'neat or solvent', words: ['kind', 'type', 'art', 'tipo'] },
  {
    field: 'solid',
    says: 'solid: yes or no',
    words: ['solid', 'form', 'state', 'physical form', 'aggregatzustand', 'etat'],
  },
  {
    field: 'density',
    says: 'density at 20 °C',
    words: ['density', 'dichte', 'densite', 'densidad', 'densita', 'g/ml'],
    units: ['g/mL'],
  },
  STRENGTH,
  SOLVENT,
  {
    field: 'stock',
    says: 'stock',
    words: [
      'stock',
      'quantity',
      'qty',
      'amount',
      'mass',
      'weight',
      'on hand',
      'bestand',
      'menge',
      'vorrat',
      'quantite',
      'cantidad',
      'quantita',
      'giacenza',
    ],
    units: MASS,
  },
  {
    field: 'price',
    says: 'price',
    words: ['price', 'cost', 'unit price', 'preis', 'prix', 'precio', 'prezzo', 'price per g'],
    units: ['1 g', '10 g', '100 g', '1 kg'],
  },
  {
    field: 'bestBefore',
    says: 'best before',
    words: [
      'best before',
      'expiry',
      'expires',
      'expiry date',
      'bbd',
      'mhd',
      'haltbar bis',
      'mindestens haltbar bis',
      'date limite',
      'ddm',
      'caducidad',
      'scadenza',
    ],
    date: true,
  },
  {
    field: 'received',
    says: 'received',
    words: ['received', 'date received', 'eingang', 'recu', 'recibido', 'ricevuto'],
    date: true,
  },
  {
    field: 'opened',
    says: 'opened',
    words: ['opened', 'date opened', 'geoffnet', 'ouvert', 'abierto', 'aperto'],
    date: true,
  },
  {
    field: 'supplierLot',
    says: "supplier's lot",
    words: [
      'supplier lot',
      "supplier's lot",
      'supplier batch',
      'vendor lot',
      'lieferantencharge',
      'lot fournisseur',
    ],
  },
  {
    field: 'place',
    says: 'place',
    words: ['place', 'location', 'where', 'lagerort', 'emplacement', 'ubicacion', 'posizione'],
  },
  {
    field: 'otherNames',
    says: 'other names',
    words: ['other names', 'synonyms', 'inci', 'latin name', 'botanical name', 'synonyme', 'sinonimos'],
  },
];

/** Columns of a formula. */
export const FORMULA_FIELDS: readonly Field[] = [
  NAME,
  {
    field: 'amount',
    says: 'amount',
    words: [
      'amount',
      'quantity',
      'qty',
      'mass',
      'weight',
      'grams',
      'g',
      'parts',
      'percent',
      '%',
      'share',
      'menge',
      'anteil',
      'einwaage',
      'teile',
      'quantite',
      'cantidad',
      'quantita',
      'in batch',
    ],
    units: ['g', 'mg', 'kg', 'percent', 'parts'],
  },
  LOT,
  STRENGTH,
  SOLVENT,
];

export type Target = 'shelf' | 'formula';
export const fieldsOf = (target: Target): readonly Field[] =>
  target === 'shelf' ? SHELF_FIELDS : FORMULA_FIELDS;

/** A heading in small letters, without accents, brackets and the units in them. */
export const plainWords = (text: string): string =>
  text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[([{].*?[)\]}]/g, ' ')
    .replace(/[_\s:.]+/g, ' ')
    .trim();

/** The unit a heading names: "Stock (kg)", "Amount, mg", "Price / 100 g", "%"; null where none is. */
export function headingUnit(heading: string, units: readonly string[]): string | null {
  const text = heading.toLowerCase();
  const price = /(?:\/|per|pro)\s*(\d*)\s*(kg|g)\b/.exec(text);
  if (units.includes('1 kg')) {
    if (price === null) return null;
    const found = `${price[1] || '1'} ${price[2]}`;
    return units.includes(found) ? found : null;
  }
  if (units.includes('percent') && /%|percent|prozent|pour ?cent/.test(text)) return 'percent';
  if (units.includes('parts') && /\b(parts|teile|parties|partes|‰|per mille)\b/.test(text)) return 'parts';
  const mass = /(?:^|[\s([,_/-])(kg|mg|g|grams?|gramm)(?:$|[\s)\],_.])/.exec(text)?.[1];
  const unit = mass?.startsWith('gr') ? 'g' : mass;
  return unit !== undefined && units.includes(unit) ? unit : null;
}
