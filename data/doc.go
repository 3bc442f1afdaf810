// Package data holds published welding facts as embedded CSV tables, one Go type
// and one function a table, every row with its sources.
//
// # Rows
//
// Each row embeds a [Row]: the ids of its sources, the [Basis] that says how its
// numbers were got, and a note where there is something to know. Numbers keep the
// unit that was printed, and the unit ends the field's name: ThicknessIn, CurrentLowA,
// TravelHighCMPerMin. An optional number that the table does not give is 0 where
// 0 cannot occur, else a nil pointer; the field's comment says so. [Cite] turns
// source ids into citations for people.
//
// # Tour
//
//   - Self-shielded wire: [SelfShieldedCurve] ties wire speed, current and voltage,
//     [CurrentByThickness] and [PositionFactors] say what current is wanted,
//     [SelfShieldedLimits] what the wire takes, [WireSpeedPerAmpere] the solid-wire rule.
//   - Other processes: [CO2Starts], [MixedGasStarts], [Electrodes].
//   - Arc: [LoadVoltages], [Extensions], [ArcEfficiencies], [DepositionEfficiencies], [WireLengths].
//   - Steel: [Steels], [WeldabilityGroups], [CarbonEquivalents], [PreheatCategories],
//     [PreheatMinimums], [RebarPreheats], [HydrogenScales].
//   - Sizes: [SheetGauges], [TubeWalls], [SquareTubes], [Pipes].
//   - Joints: [MinFillets], [MaxFillets], [PassLimits], [FilletMetals], [GrooveMetals],
//     [ConvexityLimits], [FilletShears], [BeadShapes].
//   - Mains and leads: [SupplyMultipliers], [SupplyRules], [BreakerSizes], [CopperResistances],
//     [CordAmpacities], [Receptacles], [DutyFacts], [LeadSizes], [LeadRules].
//   - Rectifiers: [RectifierFactors], [ResidualVoltages], [OpenCircuitLimits].
//   - People: [EyeShades], [ExposureLimits], [SafetyRules].
//   - Acceptance: [VisualLimits], [ImperfectionLimits], [DestructiveLimits],
//     [VariableLimits], [HeatInputRules].
//   - Reference: [Positions], [Processes], [ProcedureFields], [Formulas], [Remedies], [Causes], [BeadSigns].
//
// Tables are decoded when first asked for and shared: do not change what is returned.
package data
