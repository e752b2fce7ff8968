import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import {
  ArrayMaxSize,
  ArrayMinSize,
  ArrayUnique,
  IsArray,
  IsEmail,
  IsIn,
  IsInt,
  IsOptional,
  IsRFC3339,
  IsString,
  IsUUID,
  Length,
  Max,
  MaxLength,
  Min,
} from 'class-validator';
import { ROLES, type Role } from '../../kernel/vocabulary.js';
import { KEY_SCOPES, type KeyScope } from '../access.contract.js';
import { LINK_HOURS_MAX } from '../credentials.service.js';

export class SignInBody {
  @IsString()
  @Length(1, 254)
  email: string;

  @IsString()
  @Length(1, 1024)
  password: string;

  /** A browser gets a cookie, another program asks for the token. */
  @IsOptional()
  @IsIn(['cookie', 'bearer'])
  use?: 'cookie' | 'bearer';
}

export class SessionPerson {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty()
  name: string;

  @ApiProperty({ enum: ROLES, isArray: true })
  roles: readonly string[];
}

export class SignedInBody {
  @ApiProperty({ format: 'date-time' })
  expiresAt: string;

  @ApiProperty({ type: SessionPerson })
  person: SessionPerson;

  @ApiPropertyOptional({ description: 'Only with `"use": "bearer"`.' })
  token?: string;
}

export class SessionBody {
  @ApiProperty()
  id: string;

  @ApiProperty({ format: 'date-time' })
  createdAt: string;

  @ApiProperty({ format: 'date-time' })
  lastSeenAt: string;

  @ApiProperty({ format: 'date-time' })
  expiresAt: string;
}

export class SessionListBody {
  @ApiProperty({ type: SessionBody, isArray: true })
  items: readonly SessionBody[];
}

export class MeBody {
  @ApiProperty({ enum: ['person', 'key', 'link', 'service'] })
  kind: string;

  @ApiProperty()
  id: string;

  @ApiProperty()
  name: string;

  @ApiProperty({ enum: ROLES, isArray: true })
  roles: readonly string[];

  @ApiPropertyOptional({ format: 'uuid' })
  retailer?: string;

  @ApiPropertyOptional({ format: 'uuid' })
  visit?: string;

  @ApiPropertyOptional({ enum: KEY_SCOPES, isArray: true })
  scopes?: readonly string[];
}

export class PasswordChangeBody {
  @IsString()
  @Length(1, 1024)
  present: string;

  @IsString()
  @Length(1, 1024)
  next: string;
}

export class LinkSessionBody {
  @IsString()
  @Length(1, 200)
  token: string;
}

export class LinkSessionAnswer {
  @ApiProperty({ format: 'uuid' })
  visit: string;

  @ApiProperty()
  crewName: string;
}

export class NewVisitLinkBody {
  @IsString()
  @Length(1, 100)
  crewName: string;

  @IsOptional()
  @IsInt()
  @Min(1)
  @Max(LINK_HOURS_MAX)
  hours?: number;
}

export class VisitLinkBody {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ format: 'uuid' })
  visit: string;

  @ApiProperty()
  crewName: string;

  @ApiProperty({ format: 'date-time' })
  expiresAt: string;

  @ApiPropertyOptional({ format: 'date-time' })
  createdAt?: string;

  @ApiPropertyOptional({ format: 'date-time' })
  endedAt?: string;

  @ApiPropertyOptional({ description: 'Only in the first answer to the request that made the link.' })
  token?: string;

  @ApiPropertyOptional({ format: 'uri', description: 'Only in the first answer to the request that made the link.' })
  url?: string;
}

export class VisitLinkListBody {
  @ApiProperty({ type: VisitLinkBody, isArray: true })
  items: readonly VisitLinkBody[];
}

export class NewPersonBody {
  @IsString()
  @Length(1, 200)
  name: string;

  @IsEmail()
  @MaxLength(254)
  email: string;

  @IsString()
  @Length(1, 1024)
  password: string;

  @IsArray()
  @ArrayMinSize(1)
  @ArrayMaxSize(ROLES.length)
  @ArrayUnique()
  @IsIn(ROLES, { each: true })
  roles: Role[];

  @IsOptional()
  @IsUUID()
  retailer?: string;
}

export class PersonChangeBody {
  @IsOptional()
  @IsString()
  @Length(1, 200)
  name?: string;

  @IsOptional()
  @IsArray()
  @ArrayMinSize(1)
  @ArrayMaxSize(ROLES.length)
  @ArrayUnique()
  @IsIn(ROLES, { each: true })
  roles?: Role[];
}

export class PersonBody {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty()
  name: string;

  @ApiProperty({ format: 'email' })
  email: string;

  @ApiProperty({ enum: ROLES, isArray: true })
  roles: readonly string[];

  @ApiProperty({ format: 'date-time' })
  createdAt: string;

  @ApiPropertyOptional({ format: 'uuid' })
  retailer?: string;

  @ApiPropertyOptional({ format: 'date-time' })
  disabledAt?: string;
}

export class PersonPageBody {
  @ApiProperty({ type: PersonBody, isArray: true })
  items: readonly PersonBody[];

  @ApiPropertyOptional()
  next?: string;
}

export class NewKeyBody {
  @IsString()
  @Length(1, 100)
  name: string;

  @IsArray()
  @ArrayMinSize(1)
  @ArrayMaxSize(KEY_SCOPES.length)
  @ArrayUnique()
  @IsIn(KEY_SCOPES, { each: true })
  scopes: KeyScope[];

  @IsOptional()
  @IsUUID()
  retailer?: string;

  @IsOptional()
  @IsRFC3339()
  expiresAt?: string;
}

export class KeyBody {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty()
  name: string;

  @ApiProperty({ description: 'The first letters of the key.' })
  prefix: string;

  @ApiProperty({ enum: KEY_SCOPES, isArray: true })
  scopes: readonly string[];

  @ApiProperty({ format: 'date-time' })
  createdAt: string;

  @ApiPropertyOptional({ format: 'uuid' })
  retailer?: string;

  @ApiPropertyOptional({ format: 'date-time' })
  expiresAt?: string;

  @ApiPropertyOptional({ format: 'date-time' })
  endedAt?: string;

  @ApiPropertyOptional({ format: 'date-time' })
  lastUsedAt?: string;

  @ApiPropertyOptional({ description: 'Only in the first answer to the request that made the key.' })
  secret?: string;
}

export class KeyListBody {
  @ApiProperty({ type: KeyBody, isArray: true })
  items: readonly KeyBody[];
}
