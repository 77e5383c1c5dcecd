using TurfWatch.Core;

namespace TurfWatch.Weather.Places;

/// <summary>What the directory makes of a typed ZIP code or zone: a place, or a sentence that says what to do.</summary>
/// <param name="Place">The place; null when there is a problem.</param>
/// <param name="Problem">One or two plain sentences for the person who typed it; null when there is a place.</param>
public sealed record ZipAnswer(Place? Place, string? Problem);
