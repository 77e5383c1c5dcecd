namespace TurfWatch.Core;

/// <summary>The depths at which soil temperatures are told, in the reader's units.</summary>
internal static class SoilDepth
{
    public static string TenCm(UnitSystem units) =>
        units == UnitSystem.UsCustomary ? "4 in" : "10 cm";

    public static string FiveCm(UnitSystem units) =>
        units == UnitSystem.UsCustomary ? "2 in" : "5 cm";
}
