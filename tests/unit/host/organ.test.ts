import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';
import { testFolder } from '../store/given.ts';

let folder: ReturnType<typeof testFolder>;
let host: Host;
const open = () => openHost({ data: folder.path, capabilities: { saveDialog: null, menu: false } });
beforeEach(async () => {
  folder = testFolder();
  host = await open();
  await ask('workshop.demo', {});
});
afterEach(async () => {
  await host.close();
  folder.remove();
});

async function ask<K extends CallName>(name: K, input: Input<K>): Promise<Output<K>> {
  const reply = await host.call(name, input);
  if (!reply.ok) throw new Error(`${reply.trouble.what} ${reply.trouble.next}`);
  return reply.value as Output<K>;
}

const fieldsOf = (saved: { readonly problems: readonly { readonly field: string }[] }): string[] =>
  saved.problems.map((one) => one.field);

const materialForm = async (): Promise<Input<'organ.put-material'>['form']> => ({
  ...(await ask('organ.material', { key: 'geranium' })).form,
  name: 'Osmanthus absolute',
  cas: '',
});

const lotForm = async (code = 'GE-21'): Promise<Input<'organ.put-lot'>['form']> =>
  (await ask('organ.lot', { code })).form;

/** Pours the plan of a draft exactly, as a sheet that was filled in by hand. */
async function pourSheet(draft: Input<'formulas.plan'>): Promise<string> {
  const plan = await ask('formulas.plan', draft);
  const lines = plan.steps.map(({ line, target }) => ({ line, net: target }));
  return (await ask('pour.typed-in', { draft, lines, operator: 'Ada' })).batch;
}

describe('a material', () => {
  it('tells every problem at its field, and is not kept while there is one', async () => {
    const form = {
      ...(await materialForm()),
      name: ' ',
      cas: '78-70-5',
      density: '-1',
      shelfLife: '1.5',
      limitPercent: '0,5',
      constituents: [{ name: 'Linalool', cas: '78-70-6', percent: '120' }],
    };
    const saved = await ask('organ.put-material', { key: null, form });
    expect(saved.saved).toBeNull();
    expect(fieldsOf(saved).sort()).toEqual([
      'cas',
      'constituents.0.percent',
      'density',
      'limitDate',
      'limitDocument',
      'name',
      'shelfLife',
    ]);
    expect(saved.problems.find((one) => one.field === 'cas')?.what).toContain('check digit');
  });

  it('is kept whole over a restart, and keeps its key under another name', async () => {
    const form = {
      ...(await materialForm()),
      otherNames: 'Kwai fa, Sweet olive',
      family: 'Night flowers',
      cas: '68917-05-5',
      density: '0,93',
      shelfLife: '18',
      limitPercent: '0.4',
      limitDocument: 'Safety sheet 12',
      limitDate: '2026-03-01',
      constituents: [{ name: 'Linalool', cas: '78-70-6', percent: '2.5' }],
    };
    const { saved } = await ask('organ.put-material', { key: null, form });
    expect(saved).toBe('osmanthus-absolute');
    await ask('organ.put-material', { key: saved, form: { ...form, name: 'Osmanthus, old stock' } });
    await host.close();
    host = await open();
    const sheet = await ask('organ.material', { key: 'osmanthus-absolute' });
    expect(sheet.form).toEqual({
      ...form,
      name: 'Osmanthus, old stock',
      family: 'night flowers',
      density: '0.93',
    });
    const families = (await ask('organ.shelves', {})).map((shelf) => shelf.family);
    expect(families.slice(-2)).toEqual(['night flowers', 'solvents']);
  });

  it('is refused under a name that another one has', async () => {
    const form = { ...(await materialForm()), name: 'geranium OIL' };
    expect(fieldsOf(await ask('organ.put-material', { key: null, form }))).toEqual(['name']);
  });
});

describe('a lot', () => {
  it('is made as a dilution, with a code that is free, and its content counts from then on', async () => {
    const { code } = await ask('organ.free-code', { material: 'geranium' });
    expect(code).toBe('GE-22');
    const form = {
      ...(await lotForm()),
      code,
      name: 'Geranium oil 10 %',
      contents: {
        ...{ kind: 'dilution' as const, material: 'geranium', percent: '10,0', u: '0.2', parts: [] },
        solvent: 'lot:ET96-7',
      },
    };
    expect((await ask('organ.put-lot', { code: null, form, stock: '25.0' })).saved).toBe('GE-22');
    const sheet = await ask('organ.lot', { code: 'GE-22' });
    expect(sheet).toMatchObject({ strength: '10 %', stock: '25.0', fixed: null });
    expect(sheet.parts.map(({ name, percent }) => `${name} ${percent}`)).toEqual([
      'Ethanol 84.45456 %',
      'Geranium oil 10 %',
      'Water 5.54544 %',
    ]);
    expect(sheet.history).toMatchObject([{ what: 'stated', g: '25.0' }]);
  });

  it('tells every problem at its field', async () => {
    const form = {
      ...(await lotForm()),
      code: 'ge-21',
      name: '',
      received: '2026-02-01',
      opened: '2026-01-01',
      bestBefore: 'soon',
      price: 'dear',
      contents: {
        ...{ kind: 'composition' as const, material: '', percent: '', u: '', solvent: '' },
        parts: [{ material: 'geranium', percent: '50', u: '' }],
      },
    };
    const saved = await ask('organ.put-lot', { code: null, form, stock: '-3' });
    expect(fieldsOf(saved).sort()).toEqual([
      'bestBefore',
      'code',
      'name',
      'opened',
      'parts',
      'price',
      'stock',
    ]);
  });

  it('keeps what it holds once a batch was poured from it; all else can still be changed', async () => {
    const form = await lotForm('VE-06');
    await pourSheet({ formula: 'vetiver-dilution-10' });
    const sheet = await ask('organ.lot', { code: 'VE-06' });
    expect(sheet.fixed).toContain('make a new lot');
    expect(sheet.stock).toBe('13.20');
    expect(sheet.history[0]).toMatchObject({ what: 'poured', g: '2' });
    const contents = { ...form.contents, kind: 'neat' as const, material: 'geranium' };
    const changed = { ...form, contents, place: 'cold drawer', opened: '2026-11-01' };
    expect((await ask('organ.put-lot', { code: 'VE-06', form: changed })).saved).toBe('VE-06');
    const after = await ask('organ.lot', { code: 'VE-06' });
    expect(after.parts.map((one) => one.key)).toEqual(['vetiver']);
    expect(after.form.place).toBe('cold drawer');
  });

  it('is proposed a date from the day it was opened and the shelf life of its material', async () => {
    const material = await ask('organ.material', { key: 'geranium' });
    await ask('organ.put-material', { key: 'geranium', form: { ...material.form, shelfLife: '12' } });
    await ask('organ.put-lot', { code: 'GE-21', form: { ...(await lotForm()), opened: '2026-08-31' } });
    const { proposedBestBefore } = await ask('organ.lot', { code: 'GE-21' });
    expect(proposedBestBefore?.date).toBe('2027-08-31');
  });

  it('is weighed: what the bottle holds, how far that is from what was expected, its empty mass kept', async () => {
    const weigh = (gross: string, empty: string) =>
      ask('organ.stock', { code: 'GE-21', kind: 'weighed', gross, empty, who: 'Ada', why: '' });
    expect(fieldsOf(await weigh('20', '31.4'))).toEqual(['gross']);
    expect(fieldsOf(await weigh('', ''))).toEqual(['gross', 'empty']);
    expect((await weigh('79.10', '31.4')).saved).toBe('GE-21');
    const sheet = await ask('organ.lot', { code: 'GE-21' });
    expect(sheet.stock).toBe('47.70');
    expect(sheet.form.empty).toBe('31.4');
    expect(sheet.history[0]?.text).toBe(
      'bottle weighed: 79.10 g with the bottle of 31.4 g, 0.5 g less than expected (48.20 g) · by Ada',
    );
  });

  it('that is finished leaves shelves and plans; a formula that names it takes another, and says so', async () => {
    const form = { ...(await lotForm('BE-18')), code: 'BE-99' };
    await ask('organ.put-lot', { code: null, form, stock: '40' });
    await ask('organ.finish', { code: 'BE-18', finished: true });
    const plan = await ask('formulas.plan', { formula: 'hedge-bank-4' });
    expect(plan.steps.map((step) => step.lot)).not.toContain('BE-18');
    expect(plan.warnings.map((one) => one.text)).toContain(
      'The lot BE-18 is finished: BE-99 is poured instead.',
    );
    expect((await ask('organ.lot', { code: 'BE-18' })).finished).toMatch(/^\d{4}-\d\d-\d\d$/);
    await ask('organ.finish', { code: 'BE-18', finished: false });
    const back = await ask('formulas.plan', { formula: 'hedge-bank-4' });
    expect(back.steps.map((step) => step.lot)).toContain('BE-18');
  });
});

describe('a dilution in one gesture', () => {
  const ask10 = { lot: 'GE-21', percent: '10', solvent: 'ETA-4', g: '20' };

  it('shows its two lines and how surely they are weighed, and keeps nothing', async () => {
    const before = (await ask('formulas.list', {})).length;
    const { plan } = await ask('organ.dilution', ask10);
    expect(plan?.steps.map(({ lot, target, sureness }) => `${lot} ${target} ${sureness}`)).toEqual([
      'GE-21 2.00 sure',
      'ETA-4 18.00 sure',
    ]);
    expect((await ask('formulas.list', {})).length).toBe(before);
    const weak = await ask('organ.dilution', { ...ask10, percent: '0.1' });
    expect(weak.plan?.steps[0]?.sureness).toBe('blind');
  });

  it('is refused at the field that is wrong', async () => {
    const fields = async (part: Partial<typeof ask10>) =>
      fieldsOf(await ask('organ.dilution', { ...ask10, ...part }));
    expect(await fields({ percent: '' })).toEqual(['percent']);
    expect(await fields({ lot: 'VE-06-10', percent: '20' })).toEqual(['percent']);
    expect(await fields({ g: '0' })).toEqual(['g']);
    expect(await fields({ solvent: '' })).toEqual(['solvent']);
  });

  it('poured, is offered under its lot with the strength it has, and stands on the shelf with its stock', async () => {
    const draft = await ask('organ.dilute', ask10);
    const plan = await ask('formulas.plan', draft);
    const [first, second] = plan.steps;
    const { batch } = await ask('pour.typed-in', {
      draft,
      lines: [
        { line: first?.line ?? '', net: '2.02' },
        { line: second?.line ?? '', net: '18.10' },
      ],
    });
    const offer = await ask('records.shelf', { batch });
    expect(offer).toEqual({ code: 'GE-21-10', name: 'Geranium oil 10.04 % in ethanol', done: false });
    await ask('records.shelve', { batch, code: offer.code, name: offer.name });
    const sheet = await ask('organ.lot', { code: 'GE-21-10' });
    expect(sheet).toMatchObject({ stock: '20.12', strength: '10.04 %', madeBy: { batch } });
    expect(sheet.fixed).toContain('its record');
    expect((await ask('organ.lot', { code: 'GE-21' })).stock).toBe('46.18');
    const again = await ask('organ.dilute', { ...ask10, g: '5' });
    expect(again.formula).toBe(draft.formula);
    expect((await ask('formulas.plan', again)).total).toBe('5');
  });
});
