/** Groups of the conformance cases, with the share of results in each that must come out right. */
export interface Group {
  readonly name: string;
  /** Least share of passed results, from 0 to 1. */
  readonly bar: number;
  /** Folder of the level, and the numbers its folders begin with; undefined for all of the level. */
  readonly level: string;
  readonly folders: readonly string[] | undefined;
}

const THIRD = 'compliance-level-3';
const NEARLY_ALL = 0.99;

function third(name: string, bar: number, folders: string): Group {
  return { name: `level 3 ${name}`, bar, level: THIRD, folders: folders.split(' ') };
}

export const GROUPS: readonly Group[] = [
  { name: 'level 2', bar: 1, level: 'compliance-level-2', folders: undefined },
  third('tables', 1, '0004 0016 0017 0020 0032 0036 0037 0038 0039 0087'),
  third(
    'core',
    NEARLY_ALL,
    '0001 0030 0057 0064 0065 0066 0068 0069 0071 0072 0073 0074 0082 0083 0090 0093 0099 0100 0103',
  ),
  third(
    'numbers',
    NEARLY_ALL,
    '0050 0051 0052 0053 0054 0055 0056 0058 0061 0062 0063 0075 0077 0078 0094 1100 1101 1102 1141 1142 1143 1144',
  ),
  third('strings', NEARLY_ALL, '0002 0067 1103 1104 1105 1106 1107 1108 1109 1110 1111 1140'),
  third('temporal', NEARLY_ALL, '0007 0095 0096 0097 0098 1115 1116 1117 1120 1121 1130 1148 1149'),
  third('lists', NEARLY_ALL, '0003 0008 0009 0010 0011 0012 0013 0021 0033 0059 0060 0084 1155'),
];

/** Results that are not run, by folder and name, each with why. They count as not passed. */
export const SKIPPED: readonly { readonly folder: string; readonly result: string; readonly reason: string }[] = [
  {
    folder: '0068-feel-equality',
    result: 'time_005 time_005',
    reason: 'wants two times that differ by a tenth of a millisecond to be equal; here they are two times',
  },
  {
    folder: '0068-feel-equality',
    result: 'datetime_003_a datetime_003_a',
    reason: 'wants two date-times that differ by a tenth of a millisecond to be equal; here they are two date-times',
  },
];
