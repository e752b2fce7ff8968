import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { reachesBar, runGroups } from './run-folder.js';

const root = mkdtempSync(path.join(tmpdir(), 'conformance-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const folder = path.join(root, 'compliance-level-2', '9001-own');
mkdirSync(folder, { recursive: true });
writeFileSync(
  path.join(folder, '9001-own.dmn'),
  `<definitions xmlns="https://www.omg.org/spec/DMN/20230324/MODEL/" name="own" namespace="urn:own">
    <decision name="third"><literalExpression><text>1 / 3</text></literalExpression></decision>
    <decision name="list"><literalExpression><text>[{a: 1}, null, "x"]</text></literalExpression></decision>
  </definitions>`,
);
const result = (name: string, expected: string): string =>
  `<testCase id="${name}"><resultNode name="${name}" type="decision"><expected>${expected}</expected></resultNode></testCase>`;
const number = (text: string): string => `<value xsi:type="xsd:decimal">${text}</value>`;
writeFileSync(
  path.join(folder, '9001-own-test-01.xml'),
  `<testCases xmlns="http://www.omg.org/spec/DMN/20160719/testcase" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
    <modelName>9001-own.dmn</modelName>
    ${result('third', number('0.3333333333'))}
    ${result('third', number('0.333333'))}
    ${result('third', '<value xsi:type="xsd:string">0.3333333333</value>')}
    ${result('list', `<list><item><component name="a">${number('1')}</component></item><item><value xsi:nil="true"/></item><item><value>x</value></item></list>`)}
    <!-- ${result('third', number('0'))} -->
  </testCases>`,
);

describe('a folder of conformance cases', () => {
  it('counts what agrees within 1e-8, names what does not, and keeps to the bar', () => {
    const [group, ...others] = runGroups(root, new Map());
    expect(others).toEqual([]);
    expect(group).toMatchObject({ name: 'level 2', passed: 2, total: 4, skipped: [] });
    expect(group?.failed).toEqual([
      '9001-own: third third: expected 0.333333, got 0.3333333333333333333333333333333333',
      '9001-own: third third: expected ["0.3333333333"], got 0.3333333333333333333333333333333333',
    ]);
    expect(group && reachesBar(group)).toBe(false);
  });
});
