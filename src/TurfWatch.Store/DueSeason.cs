using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A lawn whose season is to be planned for a local date.</summary>
/// <param name="Subscriber">Who is told.</param>
/// <param name="Lawn">The lawn.</param>
/// <param name="Date">The local date.</param>
/// <param name="DueAt">The instant of <see cref="Lawn.MessageTime"/> on that date.</param>
/// <param name="AddedAt">When the lawn was added.</param>
public sealed record DueSeason(
    Subscriber Subscriber,
    Lawn Lawn,
    LocalDate Date,
    Instant DueAt,
    Instant AddedAt
);
