import { DefaultNamingStrategy, type NamingStrategyInterface, type Table } from 'typeorm';

/**
 * Names as PostgreSQL itself would give them (`claim_pkey`, `claim_tenant_id_fkey`) and snake_case columns, so that hand-written
 * migrations and entities agree and a schema comparison reports real differences only.
 */
export class PostgresNaming extends DefaultNamingStrategy implements NamingStrategyInterface {
  override tableName(className: string, customName: string | undefined): string {
    return customName ?? snakeCase(className);
  }

  override columnName(propertyName: string, customName: string | undefined, embeddedPrefixes: string[]): string {
    return [...embeddedPrefixes, customName ?? propertyName].map(snakeCase).join('_');
  }

  override relationName(propertyName: string): string {
    return snakeCase(propertyName);
  }

  override joinColumnName(relationName: string, referencedColumnName: string): string {
    return snakeCase(`${relationName}_${referencedColumnName}`);
  }

  override primaryKeyName(table: Table | string): string {
    return `${bareName(table)}_pkey`;
  }

  override uniqueConstraintName(table: Table | string, columns: string[]): string {
    return `${bareName(table)}_${columns.join('_')}_key`;
  }

  override foreignKeyName(table: Table | string, columns: string[]): string {
    return `${bareName(table)}_${columns.join('_')}_fkey`;
  }

  override indexName(table: Table | string, columns: string[]): string {
    return `${bareName(table)}_${columns.join('_')}_idx`;
  }
}

/** `holdDays` → `hold_days`. */
export function snakeCase(name: string): string {
  return name.replace(/([a-z0-9])([A-Z])/g, '$1_$2').toLowerCase();
}

function bareName(table: Table | string): string {
  const name = typeof table === 'string' ? table : table.name;
  return name.slice(name.lastIndexOf('.') + 1);
}
