using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// A sentence whose numbers and times are still numbers and times. The adapter that writes a message
/// puts them into the reader's units and zone. Arguments may be a <see cref="Quantity"/>, an
/// <see cref="Instant"/> (shown as local clock time), a <see cref="LocalTime"/>, a
/// <see cref="LocalDate"/>, an <see cref="int"/>, a <see cref="string"/>, or another phrase.
/// </summary>
/// <param name="Format">A composite format: <c>"Dew until about {0}"</c>.</param>
/// <param name="Arguments">What fills the holes.</param>
public sealed record Phrase(string Format, ImmutableArray<object> Arguments)
{
    /// <summary>Makes a phrase from an interpolated string.</summary>
    /// <exception cref="ArgumentException">An argument is of a type that no message can show.</exception>
    public static Phrase Of(FormattableString text)
    {
        var arguments = ImmutableArray.CreateBuilder<object>(text.ArgumentCount);
        foreach (var argument in text.GetArguments())
        {
            if (
                argument
                is not (Quantity or Instant or LocalTime or LocalDate or int or string or Phrase)
            )
            {
                throw new ArgumentException(
                    $"'{text.Format}' holds a {argument?.GetType().Name ?? "null"}; use Quantity, Instant, LocalTime, LocalDate, int, string or Phrase",
                    nameof(text)
                );
            }

            arguments.Add(argument);
        }

        return new(text.Format, arguments.MoveToImmutable());
    }
}
