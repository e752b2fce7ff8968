import type pg from 'pg';

/** Everything that makes up a migrated database, as plain sorted JSON: two databases are alike when their catalogues are equal. */
export interface SchemaCatalogue {
  readonly tables: Readonly<Record<string, TableCatalogue>>;
  readonly functions: Readonly<Record<string, string>>;
}

export interface TableCatalogue {
  readonly columns: Readonly<Record<string, string>>;
  readonly constraints: Readonly<Record<string, string>>;
  readonly indexes: Readonly<Record<string, string>>;
  readonly triggers: Readonly<Record<string, string>>;
  readonly policies: Readonly<Record<string, string>>;
  readonly rowSecurity: string;
  readonly grants: string;
}

/** Reads the public schema of a database. Server versions that print the same thing differently are brought to one form. */
export async function readSchema(client: pg.Client | pg.Pool): Promise<SchemaCatalogue> {
  const rows = async <Row extends pg.QueryResultRow>(sql: string): Promise<Row[]> =>
    (await client.query<Row>(sql)).rows;
  const tables = await rows<{ name: string; security: string }>(`
    select relname as name, case when relforcerowsecurity then 'forced' when relrowsecurity then 'on' else 'off' end as security
    from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r' order by 1`);
  const columns = await rows<Named>(`
    select c.relname as table, a.attname as name, concat_ws(' ', format_type(a.atttypid, a.atttypmod),
      case when a.attnotnull then 'not null' end, 'default ' || pg_get_expr(d.adbin, d.adrelid),
      case a.attidentity when 'a' then 'generated always as identity' end) as text
    from pg_attribute a join pg_class c on c.oid = a.attrelid
    left join pg_attrdef d on d.adrelid = a.attrelid and d.adnum = a.attnum
    where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attnum > 0 and not a.attisdropped order by 1, a.attnum`);
  // PostgreSQL 18 lists not-null constraints here (contype n); before 18 they are only column properties, which are above.
  const constraints = await rows<Named>(`
    select conrelid::regclass::text as table, conname as name, pg_get_constraintdef(oid) as text from pg_constraint
    where connamespace = 'public'::regnamespace and conrelid <> 0 and contype <> 'n' order by 1, 2`);
  const indexes = await rows<Named>(`
    select tablename as table, indexname as name, indexdef as text from pg_indexes where schemaname = 'public' order by 1, 2`);
  const triggers = await rows<Named>(`
    select tgrelid::regclass::text as table, tgname as name, pg_get_triggerdef(oid) as text from pg_trigger
    where not tgisinternal and tgrelid in (select oid from pg_class where relnamespace = 'public'::regnamespace) order by 1, 2`);
  const policies = await rows<Named>(`
    select tablename as table, policyname as name, concat_ws(' ', lower(permissive), 'for', lower(cmd), 'using', qual, 'check', with_check) as text
    from pg_policies where schemaname = 'public' order by 1, 2`);
  const grants = await rows<Named>(`
    select table_name as table, grantee as name, string_agg(lower(privilege_type), ', ' order by privilege_type) as text
    from information_schema.role_table_grants where table_schema = 'public' and grantee = 'as_noted_app' group by 1, 2 order by 1`);
  const functions = await rows<Named>(`
    select '' as table, proname as name, pg_get_functiondef(oid) as text from pg_proc where pronamespace = 'public'::regnamespace
      -- A range type brings constructors of the server's own, several of one name.
      and prolang <> (select oid from pg_language where lanname = 'internal') order by 2`);
  const of = (list: readonly Named[], table: string): Record<string, string> =>
    Object.fromEntries(list.filter((row) => row.table === table).map((row) => [row.name, oneForm(row.text)]));
  return {
    tables: Object.fromEntries(
      tables.map(({ name, security }) => [
        name,
        {
          columns: of(columns, name),
          constraints: of(constraints, name),
          indexes: of(indexes, name),
          triggers: of(triggers, name),
          policies: of(policies, name),
          rowSecurity: security,
          grants: grants.find((row) => row.table === name)?.text ?? '',
        },
      ]),
    ),
    functions: of(functions, ''),
  };
}

interface Named extends pg.QueryResultRow {
  readonly table: string;
  readonly name: string;
  readonly text: string;
}

function oneForm(text: string): string {
  return text.replaceAll(/\s+/g, ' ').trim();
}
